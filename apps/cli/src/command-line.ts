import { type CalendarDay, isCalendarDay } from '@jarfold/domain';
import { parseOptions, UsageError } from './parse-options.js';

/** What the command line asks for. */
export type Command =
  | { readonly kind: 'help' }
  | {
      readonly kind: 'example';
      readonly which: 'farm' | 'kitchen';
      readonly file: string;
      readonly asOf: CalendarDay | null;
    }
  | {
      readonly kind: 'plan';
      readonly file: string;
      readonly asOf: CalendarDay | null;
      readonly json: boolean;
      readonly out: string | null;
      /** Probability with which each run shall be covered, 0 to below 1; null: the cheapest plan on expected values. */
      readonly assurance: number | null;
      /** Whether to look much longer for a cheaper plan. */
      readonly thorough: boolean;
    };

const options = {
  'as-of': { type: 'string' },
  json: { type: 'boolean' },
  out: { type: 'string' },
  assurance: { type: 'string' },
  thorough: { type: 'boolean' },
  example: { type: 'string' },
  'example-small': { type: 'string' },
  help: { type: 'boolean', short: 'h' },
} as const;

type Values = ReturnType<typeof parseOptions<typeof options>>['values'];

/** @throws UsageError */
export function readCommandLine(args: readonly string[]): Command {
  const { values, positionals } = parseOptions(args, options);
  if (values.help) return { kind: 'help' };
  const asOf = dayOption(values['as-of']);
  if (values.example !== undefined || values['example-small'] !== undefined)
    return exampleCommand(values, positionals, asOf);
  const [file, second] = positionals;
  if (file === undefined || file === '') throw new UsageError('Name the workbook to plan, such as farm.xlsx.');
  if (second !== undefined) throw new UsageError(`Name one workbook only; "${second}" is a second one.`);
  return {
    kind: 'plan',
    file,
    asOf,
    json: values.json ?? false,
    out: fileOption('--out', values.out),
    assurance: assuranceOption(values.assurance),
    thorough: values.thorough ?? false,
  };
}

function exampleCommand(values: Values, positionals: readonly string[], asOf: CalendarDay | null): Command {
  const { example, 'example-small': small } = values;
  if (example !== undefined && small !== undefined) {
    throw new UsageError('Ask for --example or --example-small, not for both.');
  }
  const extra =
    positionals[0] ??
    (values.out === undefined ? undefined : '--out') ??
    (values.assurance === undefined ? undefined : '--assurance') ??
    (values.thorough ? '--thorough' : undefined) ??
    (values.json ? '--json' : undefined);
  if (extra !== undefined) throw new UsageError(`An example is only written; "${extra}" has no meaning beside it.`);
  const which = example === undefined ? 'kitchen' : 'farm';
  const file = fileOption(which === 'farm' ? '--example' : '--example-small', example ?? small);
  return { kind: 'example', which, file: file ?? '', asOf };
}

function dayOption(text: string | undefined): CalendarDay | null {
  if (text === undefined) return null;
  if (isCalendarDay(text)) return text;
  throw new UsageError(`--as-of: "${text}" is not a day that exists, written YYYY-MM-DD.`);
}

function assuranceOption(text: string | undefined): number | null {
  if (text === undefined) return null;
  const percent = /^\d{1,2}(\.\d+)?$/.test(text) ? Number(text) : Number.NaN;
  if (Number.isNaN(percent)) {
    throw new UsageError(
      `--assurance: "${text}" is not a percentage from 0 to below 100.`,
      'Write it as a plain number, such as --assurance 95.',
    );
  }
  return percent / 100;
}

function fileOption(option: string, file: string | undefined): string | null {
  if (file === '') throw new UsageError(`${option} needs the name of a file.`);
  return file ?? null;
}
