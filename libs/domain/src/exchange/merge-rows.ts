import type { CellValue, CellValues } from './run-cells.js';

/**
 * The three-way merge of a table by cell: base (as it was given out), ours (as it is now), theirs (the returned file).
 *
 * Kept pure and in the domain because the server that applies a merge and the reader that explains a file to its owner
 * must decide alike, and because its laws can then be tested on millions of tables without a file or a database.
 *
 * Rows are told apart by a hidden key, never by where they stand: sorting, filtering and added columns change nothing.
 * A row that is missing is not deleted; a delete is an explicit mark. A column the file lacks is untouched.
 */

/** A row of the returned file. */
export interface TheirRow {
  /** Null for a row a person added. */
  readonly key: string | null;
  /** Only the columns the file has. */
  readonly values: CellValues;
  /** The row carries the delete mark. */
  readonly deleted: boolean;
  /** Where it stands in the file, for messages. */
  readonly place: string;
  /** Where each of its cells stands. */
  readonly places?: Readonly<Record<string, string>>;
}

export interface MergeInput {
  readonly base: ReadonlyMap<string, CellValues>;
  readonly ours: ReadonlyMap<string, CellValues>;
  readonly theirs: readonly TheirRow[];
}

export interface CellChange {
  readonly key: string;
  readonly column: string;
  readonly from: CellValue;
  readonly to: CellValue;
  readonly place: string;
}

export interface CellConflict {
  readonly key: string;
  readonly column: string;
  readonly base: CellValue;
  readonly ours: CellValue;
  readonly theirs: CellValue;
  readonly place: string;
}

/** An edit on one side meets a delete on the other. `columns` are those edited. */
export interface DeleteConflict {
  readonly key: string;
  readonly kind: 'deleted-in-file' | 'gone-here';
  readonly columns: readonly string[];
  readonly place: string;
}

/** A row whose key already stands on another row: somebody copied it. */
export interface CopiedRow {
  readonly row: TheirRow;
  readonly key: string;
  readonly firstPlace: string;
  /** Every cell equals the other row's: nothing is lost by leaving it out. */
  readonly same: boolean;
}

export interface MergeResult {
  readonly changes: readonly CellChange[];
  readonly added: readonly TheirRow[];
  readonly deletes: readonly { readonly key: string; readonly place: string }[];
  readonly conflicts: readonly CellConflict[];
  readonly deleteConflicts: readonly DeleteConflict[];
  readonly copies: readonly CopiedRow[];
  /** Rows with a key that was never given out. */
  readonly strangers: readonly TheirRow[];
  /** Keys given out that the file no longer has: kept. */
  readonly missing: readonly string[];
  readonly unchanged: number;
}

export function mergeRows({ base, ours, theirs }: MergeInput): MergeResult {
  const { rows, copies } = withoutCopies(theirs, base);
  const found = emptyResult();
  for (const row of rows) mergeRow(row, base, ours, found);
  const keys = new Set(rows.map(({ key }) => key));
  return { ...found, copies, missing: [...base.keys()].filter((key) => ours.has(key) && !keys.has(key)) };
}

interface Found {
  readonly changes: CellChange[];
  readonly added: TheirRow[];
  readonly deletes: { key: string; place: string }[];
  readonly conflicts: CellConflict[];
  readonly deleteConflicts: DeleteConflict[];
  readonly strangers: TheirRow[];
  unchanged: number;
}

const emptyResult = (): Found => ({
  changes: [],
  added: [],
  deletes: [],
  conflicts: [],
  deleteConflicts: [],
  strangers: [],
  unchanged: 0,
});

function mergeRow(
  row: TheirRow,
  base: ReadonlyMap<string, CellValues>,
  ours: ReadonlyMap<string, CellValues>,
  found: Found,
): void {
  if (row.key === null) {
    if (!row.deleted) found.added.push(row);
    return;
  }
  const given = base.get(row.key);
  const now = ours.get(row.key);
  if (!given) found.strangers.push(row);
  else if (!now) mergeGone(row, row.key, given, found);
  else if (row.deleted) mergeDeleted(row, row.key, given, now, found);
  else mergeCells(row, row.key, given, now, found);
}

/** Gone here meanwhile: that stands, unless the file edited it. */
function mergeGone(row: TheirRow, key: string, given: CellValues, found: Found): void {
  const columns = row.deleted ? [] : differing(given, row.values, Object.keys(row.values));
  if (columns.length === 0) found.unchanged += 1;
  else found.deleteConflicts.push({ key, kind: 'gone-here', columns, place: row.place });
}

function mergeDeleted(row: TheirRow, key: string, given: CellValues, now: CellValues, found: Found): void {
  const columns = differing(given, now, Object.keys(given));
  if (columns.length === 0) found.deletes.push({ key, place: row.place });
  else found.deleteConflicts.push({ key, kind: 'deleted-in-file', columns, place: row.place });
}

function mergeCells(row: TheirRow, key: string, given: CellValues, now: CellValues, found: Found): void {
  let touched = false;
  for (const [column, theirs] of Object.entries(row.values)) {
    const base = given[column] ?? null;
    const ours = now[column] ?? null;
    if (sameCell(theirs, base) || sameCell(theirs, ours)) continue;
    touched = true;
    const place = row.places?.[column] ?? row.place;
    if (sameCell(ours, base)) found.changes.push({ key, column, from: ours, to: theirs, place });
    else found.conflicts.push({ key, column, base, ours, theirs, place });
  }
  if (!touched) found.unchanged += 1;
}

/**
 * Of rows with one key, the one that equals what was given out is the original; with none or several of those, the one
 * that stands first in the order of the values, so that the order of rows in the file does not matter.
 */
function withoutCopies(theirs: readonly TheirRow[], base: ReadonlyMap<string, CellValues>) {
  const byKey = new Map<string, TheirRow[]>();
  for (const row of theirs) {
    if (row.key === null) continue;
    const group = byKey.get(row.key);
    if (group) group.push(row);
    else byKey.set(row.key, [row]);
  }
  const copies: CopiedRow[] = [];
  const left = new Set<TheirRow>();
  for (const [key, group] of byKey) {
    if (group.length === 1) continue;
    const original = originalOf(group, base.get(key) ?? {});
    for (const row of group) {
      if (row === original) continue;
      left.add(row);
      const same =
        row.deleted === original.deleted &&
        differing(original.values, row.values, Object.keys(row.values)).length === 0;
      copies.push({ row, key, firstPlace: original.place, same });
    }
  }
  return { rows: theirs.filter((row) => !left.has(row)), copies };
}

function originalOf(group: readonly TheirRow[], given: CellValues): TheirRow {
  const untouched = group.filter(
    (row) => !row.deleted && differing(given, row.values, Object.keys(row.values)).length === 0,
  );
  const candidates = untouched.length > 0 ? untouched : group;
  return candidates.reduce((best, row) => (orderOf(row) < orderOf(best) ? row : best));
}

const orderOf = ({ values, deleted }: TheirRow) => `${deleted ? 1 : 0}${JSON.stringify(Object.entries(values).sort())}`;

function differing(one: CellValues, other: CellValues, columns: readonly string[]): string[] {
  return columns.filter((column) => !sameCell(one[column] ?? null, other[column] ?? null));
}

/** Numbers that agree in twelve digits are the same: programs write the last ones differently. */
export function sameCell(one: CellValue, other: CellValue): boolean {
  if (typeof one === 'number' && typeof other === 'number') {
    return one === other || one.toPrecision(12) === other.toPrecision(12);
  }
  return one === other;
}

/** What the person chose where both sides changed something. Left out: ours stays. */
export interface MergeChoices {
  /** By `key/column`, or by `*` and the column for a whole column. */
  readonly cells?: Readonly<Record<string, 'ours' | 'theirs'>>;
  /** By key: an edit that met a delete. */
  readonly rows?: Readonly<Record<string, 'ours' | 'theirs'>>;
  /** By the place of a copied row: leave it out, or add it as a row of its own. */
  readonly copies?: Readonly<Record<string, 'leave-out' | 'add'>>;
}

/** What is to be done to ours. */
export interface MergeDecision {
  /** New values by key and column. */
  readonly edits: ReadonlyMap<string, CellValues>;
  readonly adds: readonly TheirRow[];
  readonly deletes: readonly string[];
}

export function decideMerge(result: MergeResult, choices: MergeChoices = {}): MergeDecision {
  const edits = new Map<string, Record<string, CellValue>>();
  const edit = (key: string, column: string, value: CellValue) => {
    const row = edits.get(key) ?? {};
    row[column] = value;
    edits.set(key, row);
  };
  for (const { key, column, to } of result.changes) edit(key, column, to);
  for (const { key, column, theirs } of result.conflicts) {
    const choice = choices.cells?.[`${key}/${column}`] ?? choices.cells?.[`*/${column}`] ?? 'ours';
    if (choice === 'theirs') edit(key, column, theirs);
  }
  const wanted = result.deleteConflicts.filter(
    ({ key, kind }) => kind === 'deleted-in-file' && choices.rows?.[key] === 'theirs',
  );
  return {
    edits,
    adds: [
      ...result.added,
      ...result.copies
        .filter(({ row }) => choices.copies?.[row.place] === 'add')
        .map(({ row }) => ({ ...row, key: null })),
    ],
    deletes: [...result.deletes, ...wanted].map(({ key }) => key),
  };
}

/** Ours with a decision carried out; added rows get the keys that are named for them. */
export function appliedMerge(
  ours: ReadonlyMap<string, CellValues>,
  { edits, adds, deletes }: MergeDecision,
  keyOf: (row: TheirRow) => string,
): Map<string, CellValues> {
  const merged = new Map(ours);
  for (const [key, values] of edits) merged.set(key, { ...merged.get(key), ...values });
  for (const key of deletes) merged.delete(key);
  for (const row of adds) merged.set(keyOf(row), row.values);
  return merged;
}
