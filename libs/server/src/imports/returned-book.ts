import {
  type CellValues,
  cellText,
  type FileProblem,
  type MergeResult,
  mergeRows,
  type ReturnedBook,
  runCells,
  type TheirRow,
} from '@jarfold/domain';
import { AppError, type GrowerTx } from '../platform/index.js';
import { type BulkRunRow, isBulkRun, listRuns } from '../runs/index.js';
import { type FarmNames, readFarmNames } from '../stock/index.js';
import { statedRun } from '../workbooks/index.js';
import { appliedReturns } from './file-imports.repository.js';
import { digestOf, namedId } from './named-id.js';

/** A returned workbook compared with the farm as it is now. */
export interface ComparedBook {
  readonly result: MergeResult;
  readonly runs: ReadonlyMap<string, BulkRunRow>;
  readonly ours: ReadonlyMap<string, CellValues>;
  readonly names: FarmNames;
  readonly problems: readonly FileProblem[];
  /** Changes whenever the farm or the file says something else. */
  readonly seen: string;
}

export async function compareBook(tx: GrowerTx, growerId: string, book: ReturnedBook): Promise<ComparedBook> {
  const names = await readFarmNames(tx, growerId);
  const runsAndOrders = await listRuns(tx, growerId, { state: 'all' });
  // The sheet of bulk runs holds no orders, so it says nothing of them either.
  const standing = runsAndOrders.filter(isBulkRun).filter(({ state }) => state !== 'cancelled');
  const runs = new Map(standing.map((run) => [run.id, run]));
  const ours = new Map(standing.map((run) => [run.id, runCells(statedRun(run, names), book.units)]));
  const base = new Map(book.base.map(({ key, cells }) => [key, cells]));
  for (const { outcome } of await appliedReturns(tx, growerId, book.exportId)) {
    for (const [key, cells] of Object.entries(outcome.said ?? {})) base.set(key, cells);
  }
  const theirs = withKeysOfAdded(book, base);
  const result = mergeRows({ base, ours, theirs });
  const problems = [...strangerProblems(result, book), ...strainProblems(theirs, base, names, book)];
  return { result, runs, ours, names, problems, seen: digestOf([result, problems]) };
}

/**
 * A row that a person added has no key; its id follows from the workbook and what the row is called, so that the same
 * file sent twice adds it once, and a correction of it in the same file is an edit and not a second run.
 */
function withKeysOfAdded({ rows, exportId }: ReturnedBook, base: ReadonlyMap<string, CellValues>): TheirRow[] {
  const ids = idsOfAdded(
    exportId,
    rows.filter(({ key }) => key === null),
  );
  return rows.map((row) => {
    const id = ids.get(row);
    return id !== undefined && base.has(id) ? { ...row, key: id } : row;
  });
}

const calledBy = ({ values }: TheirRow) =>
  cellText(String(values.name ?? `${values.day} ${values.strains}`)).toLowerCase();

/** Ids of rows that are added, in the order of the file. */
export function idsOfAdded(exportId: string, rows: readonly TheirRow[]): ReadonlyMap<TheirRow, string> {
  const seen = new Map<string, number>();
  return new Map(
    rows.map((row) => {
      const called = calledBy(row);
      const occurrence = (seen.get(called) ?? 0) + 1;
      seen.set(called, occurrence);
      return [row, namedId(['added run', exportId, called, occurrence])];
    }),
  );
}

function strangerProblems({ strangers }: MergeResult, { sheet }: ReturnedBook): FileProblem[] {
  return strangers.map(({ key, place }) => ({
    ...{ code: 'unknown-name', sheet, cell: place, column: 'Key', value: key },
    rule: 'The hidden key of this row was never given out.',
    advice: 'To add the row as a new run, clear its cell in the hidden column Key.',
  }));
}

/** Strains that the farm does not have, in rows that say something new. */
function strainProblems(
  rows: readonly TheirRow[],
  base: ReadonlyMap<string, CellValues>,
  { strains }: FarmNames,
  { sheet, headings }: ReturnedBook,
): FileProblem[] {
  const codes = new Set([...strains.values()].filter(({ archived }) => !archived).map(({ code }) => code));
  return rows.flatMap((row) => {
    const said = row.values.strains;
    if (typeof said !== 'string' || (row.key !== null && base.get(row.key)?.strains === said)) return [];
    const unknown = said.split(', ').filter((code) => !codes.has(code));
    const twice = new Set(said.split(', ')).size < said.split(', ').length;
    if (unknown.length === 0 && !twice) return [];
    return [
      {
        ...{ code: 'unknown-name', sheet, cell: row.places?.strains ?? row.place, column: headings.strains ?? null },
        value: said,
        rule: twice ? 'A strain stands here twice.' : `The farm has no strain with the code ${unknown.join(', ')}.`,
        advice: `Write codes of the sheet Lists, parted by commas: ${[...codes].slice(0, 12).join(', ')}.`,
      },
    ];
  });
}

/**
 * Holds a comparison against what was shown.
 * @throws AppError `rule-refused` when the file has problems; `conflict` when the farm or the file says something else
 */
export function requireRightBook({ problems, seen }: ComparedBook, shown: string): void {
  if (problems.length > 0) throw withProblems(problems);
  if (seen === shown) return;
  throw new AppError(
    'conflict',
    'The farm changed since this was shown: look at the comparison again. Nothing was changed.',
  );
}

export function withProblems(problems: readonly FileProblem[]): AppError {
  const errors = problems.slice(0, 50).map(({ sheet, cell, rule, advice }) => ({
    pointer: '',
    detail: `${[sheet, cell].filter(Boolean).join('!') || 'The file'}: ${rule} ${advice}`,
  }));
  return new AppError('rule-refused', 'The file has mistakes, so nothing was changed.', { errors });
}
