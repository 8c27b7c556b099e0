import { nearestName } from '@jarfold/workbook';
import { parseOptions, UsageError } from '../parse-options.js';

export const workbookHelp = `Exchanges workbooks with a farm's database, without a browser.

  npm run -s workbook -- week --out FILE.xlsx      the weekly workbook, from the newest plan
  npm run -s workbook -- export --out FILE         the whole farm: .jsonl to bring into another, .xlsx or .zip (CSV) to read
  npm run -s workbook -- bring-in FILE.jsonl       a whole farm into an empty one, all of it or nothing

  --farm NAME   which farm, when the database holds more than one: its name or id
  --json        print what was done as JSON

The database is the one DATABASE_URL names, else the one in the folder JARFOLD_DATA (./data unless set), whether
Jarfold is running on it or not. An existing file is not overwritten.
Exit code 0: done. 2: the command or the file has errors, each told with what to do. 1: an unexpected failure.
Every sheet: docs/workbook-weekly.md.
`;

const OPTIONS = {
  out: { type: 'string' },
  farm: { type: 'string' },
  json: { type: 'boolean' },
  help: { type: 'boolean', short: 'h' },
} as const;

/** What the command line asks for. */
export type WorkbookCommand =
  | { readonly kind: 'help' }
  | { readonly kind: 'week' | 'export'; readonly out: string; readonly farm: string | null; readonly json: boolean }
  | { readonly kind: 'bring-in'; readonly file: string; readonly farm: string | null; readonly json: boolean };

const KINDS = ['week', 'export', 'bring-in'] as const;

/** @throws UsageError */
export function readWorkbookCommand(args: readonly string[]): WorkbookCommand {
  const { values, positionals } = parseOptions(args, OPTIONS);
  const [kind, extra] = positionals;
  if (values.help || (kind === undefined && args.length === 0)) return { kind: 'help' };
  requireKind(kind);
  const common = { farm: values.farm ?? null, json: values.json ?? false };
  if (kind === 'bring-in') {
    if (extra === undefined || extra === '') throw new UsageError('Name the file to bring in, such as farm.jsonl.');
    return { kind, file: extra, ...common };
  }
  if (extra !== undefined) throw new UsageError(`"${extra}" has no meaning here.`);
  if (values.out === undefined || values.out === '') throw new UsageError('Say where to, such as --out week.xlsx.');
  return { kind, out: values.out, ...common };
}

function requireKind(kind: string | undefined): asserts kind is (typeof KINDS)[number] {
  if (KINDS.some((known) => known === kind)) return;
  const near = kind === undefined ? null : nearestName(kind, KINDS);
  const hint = near ? ` Did you mean ${near}?` : '';
  throw new UsageError(kind === undefined ? 'Say what to do, such as week.' : `There is no command ${kind}.${hint}`);
}
