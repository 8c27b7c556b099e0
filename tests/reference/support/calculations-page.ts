import { calculationList, evaluate } from '@jarfold/contracts/calculations';

/** Numbers as the page shows them: six figures, so that another machine's last digits do not change it. */
export function sixFigures(value: unknown): unknown {
  if (typeof value === 'number') return Number(value.toPrecision(6));
  if (Array.isArray(value)) return value.map(sixFigures);
  if (value !== null && typeof value === 'object')
    return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, sixFigures(inner)]));
  return value;
}

const MOST_CHARACTERS = 100;

/** Short values on one line, long ones opened up one level at a time. */
function json(value: unknown, indent = ''): string {
  const line = JSON.stringify(value);
  if (line.length + indent.length <= MOST_CHARACTERS || value === null || typeof value !== 'object') return line;
  const inner = `${indent}  `;
  if (Array.isArray(value)) return `[\n${value.map((each) => inner + json(each, inner)).join(',\n')}\n${indent}]`;
  const parts = Object.entries(value).map(([key, each]) => `${inner}${JSON.stringify(key)}: ${json(each, inner)}`);
  return `{\n${parts.join(',\n')}\n${indent}}`;
}

const heading = `# Calculations

Every number Jarfold shows can be checked: each calculation behind it is named here with its source, and can be run alone.

\`\`\`
npm run -s calc -- --list                 every calculation, with what goes in and out and its source
npm run -s calc -- NAME --example         an input to start from
npm run -s calc -- NAME < input.json      the answer as JSON; exit code 2 and a list of problems for a bad input
\`\`\`

Rates are fractions (0.05 is 5 %), masses grams, temperatures °C, pressures kPa, days whole or broken days, calendar days
\`YYYY-MM-DD\`. Every estimate carries its interval, the level of the interval and n, the cases it rests on. Where there is
too little, the answer is \`"kind": "not enough data"\` with what it would take, never a number.

The examples below are run by a test; their numbers are shown to six figures. The sources of the published values are in
[sources.md](sources.md).

A logger's file (\`read-trace\`) has one reading to a line: time and temperature, apart by comma, semicolon or tab. The
time is minutes from the start or a clock time, counted on past midnight. The unit stands in the heading (°C, degC,
temp_f, …) or is declared; it is never guessed. A reading that is out of order, is no number or is no temperature of a
steriliser is named by its line, and nothing is computed.

A lot's code (\`read-code\`) is the strain's short code, the ISO 8601 week and a serial, such as \`OY3-26W48-2\`; its jars
are \`OY3-26W48-2/07\` and so on. Short codes that a spreadsheet would turn into a number, a date, money or a truth value
are refused.
`;

/** The page of calculations, made from the list. */
export function calculationsPage(): string {
  const sections = calculationList().map(({ name, purpose, source, example }) => {
    const answer = evaluate(name, example);
    const output = answer.kind === 'answer' ? sixFigures(answer.output) : answer;
    return `## ${name}\n\n${purpose} Source: ${source}.\n\n\`\`\`json input\n${json(example)}\n\`\`\`\n\n\`\`\`json output\n${json(output)}\n\`\`\`\n`;
  });
  return `${heading}\n${sections.join('\n')}`;
}
