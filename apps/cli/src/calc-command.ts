import { calculationList, calculations, type Evaluated, evaluate } from '@jarfold/contracts/calculations';
import type { Ending } from './run-main.js';
import { schemaInWords } from './schema-in-words.js';

/** 0: evaluated. 2: the input must be corrected first. */
export interface CalcOutcome extends Ending {
  readonly exitCode: 0 | 2;
}

export const calcHelp = `Evaluates one of Jarfold's calculations and prints the answer as JSON.

  npm run -s calc -- --list                  every calculation: what it is for, its source, what goes in and out
  npm run -s calc -- --list --json           the same as JSON, with JSON Schemas
  npm run -s calc -- NAME < input.json       evaluates it
  npm run -s calc -- NAME --example          prints an input to start from

Exit code 0 with an answer, 2 with the list of what is wrong with the input. Nothing is read but standard input.
`;

/** A calculator call as typed. */
export type CalcCommand =
  | { readonly kind: 'help' }
  | { readonly kind: 'list'; readonly json: boolean }
  | { readonly kind: 'example'; readonly name: string }
  | { readonly kind: 'evaluate'; readonly name: string }
  | { readonly kind: 'unclear'; readonly message: string };

export function readCalcCommand(args: readonly string[]): CalcCommand {
  const known = new Set(['--list', '--json', '--example', '--help', '-h']);
  const unknown = args.find((arg) => arg.startsWith('-') && !known.has(arg));
  if (unknown) return { kind: 'unclear', message: `There is no option ${unknown}. See --help.` };
  if (args.includes('--help') || args.includes('-h')) return { kind: 'help' };
  if (args.includes('--list')) return { kind: 'list', json: args.includes('--json') };
  const [name, second] = args.filter((arg) => !arg.startsWith('-'));
  if (name === undefined) return { kind: 'unclear', message: 'Name a calculation, or ask for --list.' };
  if (second !== undefined)
    return { kind: 'unclear', message: `Name one calculation only; "${second}" is a second one.` };
  return { kind: args.includes('--example') ? 'example' : 'evaluate', name };
}

export function calcList(json: boolean): CalcOutcome {
  const entries = calculationList();
  if (json) return { exitCode: 0, output: `${JSON.stringify(entries, null, 2)}\n`, errors: '' };
  const text = entries.map(
    ({ name, purpose, source, input, output }) =>
      `${name}\n  ${purpose}\n  in:     ${schemaInWords(input)}\n  out:    ${schemaInWords(output)}\n  source: ${source}\n`,
  );
  const legend =
    'estimate: { value, low, high, level, n } · not enough data: { n, needed, reason } · ?: may be left out, = usual value\n';
  return { exitCode: 0, output: `${legend}\n${text.join('\n')}`, errors: '' };
}

export function calcExample(name: string): CalcOutcome {
  const entry = calculations.get(name);
  // An unknown name gets the same answer as when it is evaluated.
  if (!entry) return outcomeOf(evaluate(name, {}));
  return { exitCode: 0, output: `${JSON.stringify(entry.example, null, 2)}\n`, errors: '' };
}

/** Evaluates text that should be JSON. */
export function calcEvaluate(name: string, text: string): CalcOutcome {
  // An unknown name is the first thing to put right, whatever the input.
  if (!calculations.has(name)) return outcomeOf(evaluate(name, null));
  let input: unknown;
  try {
    input = JSON.parse(text.replace(/^﻿/, ''));
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    return refused(name, [
      {
        pointer: '',
        code: 'not-json',
        message: `Standard input is not JSON: ${reason}. Try: npm run -s calc -- ${name} --example`,
      },
    ]);
  }
  return outcomeOf(evaluate(name, input));
}

function outcomeOf(evaluated: Evaluated): CalcOutcome {
  if (evaluated.kind === 'refused') return refused(evaluated.name, evaluated.errors);
  return { exitCode: 0, output: `${JSON.stringify(evaluated.output, null, 2)}\n`, errors: '' };
}

/** What is wrong goes to standard output as JSON, for programs, and in words to standard error, for people. */
export function refused(name: string, errors: Extract<Evaluated, { kind: 'refused' }>['errors']): CalcOutcome {
  const words = errors.map(({ pointer, message }) => `  ${pointer === '' ? 'input' : pointer}: ${message}\n`).join('');
  return {
    exitCode: 2,
    output: `${JSON.stringify({ name, errors }, null, 2)}\n`,
    errors: `Not computed (${name}):\n${words}`,
  };
}
