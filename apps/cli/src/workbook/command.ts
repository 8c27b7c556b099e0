import { nearestName } from '@jarfold/workbook';
import { parseOptions, UsageError } from '../parse-options.js';

export const workbookHelp = `Exchanges workbooks with a farm's database, without a browser.

  npm run -s workbook -- week --out FILE.xlsx      the weekly workbook, from the newest plan
  npm run -s workbook -- export --out FILE         the whole farm: .jsonl to bring into another, .xlsx or .zip (CSV) to read
  npm run -s workbook -- bring-in FILE.jsonl       a whole farm into an empty one, all of it or nothing (.jsonl or .jsonl.gz)
  npm run -s workbook -- return FILE.xlsx          what a weekly workbook that comes back would change; nothing is changed
  npm run -s workbook -- return FILE.xlsx --apply  does it, all of it or nothing

  --take farm|file  for return: which side wins where both changed; needed only then
  --marked FILE     for return: writes your file with its mistakes marked
  --farm NAME       which farm, when the database holds more than one: its name or id
  --progress        print how far it is also where no terminal shows it
  --json            print what was done as JSON

Ctrl-C stops: nothing is changed and no file is left. So does whatever else ends the command; give it again.

The database is the one DATABASE_URL names, else the one in the folder JARFOLD_DATA (./data unless set), whether
Jarfold is running on it or not. An existing file is not overwritten.
Exit code 0: done. 2: the command or the file has errors, each told with what to do. 1: an unexpected failure.
Every sheet: docs/workbook-weekly.md.
`;

const OPTIONS = {
  out: { type: 'string' },
  farm: { type: 'string' },
  json: { type: 'boolean' },
  progress: { type: 'boolean' },
  apply: { type: 'boolean' },
  take: { type: 'string' },
  marked: { type: 'string' },
  help: { type: 'boolean', short: 'h' },
} as const;

interface Common {
  readonly farm: string | null;
  readonly json: boolean;
  readonly progress: boolean;
}

/** What the command line asks for. */
export type WorkbookCommand =
  | { readonly kind: 'help' }
  | ({ readonly kind: 'week' | 'export'; readonly out: string } & Common)
  | ({ readonly kind: 'bring-in'; readonly file: string } & Common)
  | ({
      readonly kind: 'return';
      readonly file: string;
      readonly apply: boolean;
      readonly take: 'farm' | 'file' | null;
      readonly marked: string | null;
    } & Common);

const KINDS = ['week', 'export', 'bring-in', 'return'] as const;

/** @throws UsageError */
export function readWorkbookCommand(args: readonly string[]): WorkbookCommand {
  const { values, positionals } = parseOptions(args, OPTIONS);
  const [kind, extra] = positionals;
  if (values.help || (kind === undefined && args.length === 0)) return { kind: 'help' };
  requireKind(kind);
  const common = { farm: values.farm ?? null, json: values.json ?? false, progress: values.progress ?? false };
  if (kind !== 'return' && (values.apply || values.take !== undefined || values.marked !== undefined)) {
    throw new UsageError('--apply, --take and --marked are for return.');
  }
  if (kind === 'bring-in' || kind === 'return') {
    if (extra === undefined || extra === '') {
      throw new UsageError(`Name the file, such as ${kind === 'return' ? 'week.xlsx' : 'farm.jsonl'}.`);
    }
    if (kind === 'bring-in') return { kind, file: extra, ...common };
    const take = sideOf(values.take);
    return { kind, file: extra, apply: values.apply ?? false, take, marked: values.marked ?? null, ...common };
  }
  if (extra !== undefined) throw new UsageError(`"${extra}" has no meaning here.`);
  if (values.out === undefined || values.out === '') throw new UsageError('Say where to, such as --out week.xlsx.');
  return { kind, out: values.out, ...common };
}

function sideOf(said: string | undefined): 'farm' | 'file' | null {
  if (said === undefined || said === 'farm' || said === 'file') return said ?? null;
  throw new UsageError(`--take is farm or file, not "${said}".`);
}

function requireKind(kind: string | undefined): asserts kind is (typeof KINDS)[number] {
  if (KINDS.some((known) => known === kind)) return;
  const near = kind === undefined ? null : nearestName(kind, KINDS);
  const hint = near ? ` Did you mean ${near}?` : '';
  throw new UsageError(kind === undefined ? 'Say what to do, such as week.' : `There is no command ${kind}.${hint}`);
}
