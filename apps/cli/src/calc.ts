import {
  type CalcOutcome,
  calcEvaluate,
  calcExample,
  calcHelp,
  calcList,
  readCalcCommand,
  refused,
} from './calc-command.js';
import { runMain } from './run-main.js';

/** More than this is no input for one calculation. */
const MOST_BYTES = 64 * 1024 * 1024;

async function main(args: readonly string[]): Promise<CalcOutcome> {
  const command = readCalcCommand(args);
  switch (command.kind) {
    case 'help':
      return { exitCode: 0, output: calcHelp, errors: '' };
    case 'list':
      return calcList(command.json);
    case 'example':
      return calcExample(command.name);
    case 'unclear':
      return { exitCode: 2, output: '', errors: `${command.message}\n` };
    case 'evaluate':
      return evaluateStandardInput(command.name);
  }
}

async function evaluateStandardInput(name: string): Promise<CalcOutcome> {
  if (process.stdin.isTTY) {
    const message = `Give the input as JSON on standard input: npm run -s calc -- ${name} < input.json`;
    return refused(name, [{ pointer: '', code: 'no-input', message }]);
  }
  const parts: Buffer[] = [];
  let bytes = 0;
  for await (const part of process.stdin) {
    parts.push(part as Buffer);
    bytes += (part as Buffer).length;
    if (bytes > MOST_BYTES)
      return refused(name, [{ pointer: '', code: 'too-large', message: 'Standard input is larger than 64 MB.' }]);
  }
  return calcEvaluate(name, Buffer.concat(parts).toString('utf8'));
}

await runMain(main);
