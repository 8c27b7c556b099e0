import type { ReturnedBookPreview } from '@jarfold/contracts';
import type { FileProblem, ReturnedBook } from '@jarfold/domain';
import { type FileImportRow, importJson } from './file-imports.repository.js';
import type { ComparedBook } from './returned-book.js';

/** A comparison as a person sees it: runs by name, columns by their headings in the file. */
export function returnedBookJson(
  row: FileImportRow,
  book: ReturnedBook | null,
  compared: ComparedBook | null,
  problems: readonly FileProblem[],
): ReturnedBookPreview {
  const frame = { import: importJson(row), appliedBefore: row.state === 'applied', problems: [...problems] };
  if (book === null || compared === null) return { ...frame, ...NOTHING };
  const { result, ours } = compared;
  const nameOf = (key: string) => String(ours.get(key)?.name ?? baseName(book, key));
  const heading = (column: string) => book.headings[column] ?? column;
  const changed = new Set(result.changes.map(({ key }) => key));
  return {
    ...frame,
    seen: compared.seen,
    counts: {
      added: result.added.length,
      changed: changed.size,
      cancelled: result.deletes.length,
      unchanged: result.unchanged,
      conflicts: result.conflicts.length + result.deleteConflicts.length,
    },
    changes: result.changes.map((each) => ({ ...each, row: nameOf(each.key), heading: heading(each.column) })),
    conflicts: result.conflicts.map((each) => ({ ...each, row: nameOf(each.key), heading: heading(each.column) })),
    deleteConflicts: result.deleteConflicts.map(({ key, kind, columns, place }) => ({
      ...{ key, kind, place, row: nameOf(key) },
      headings: columns.map(heading),
    })),
    added: result.added.map(({ place, values }) => ({
      place,
      values: Object.fromEntries(Object.entries(values).map(([column, value]) => [heading(column), value])),
    })),
    deletes: result.deletes.map(({ key, place }) => ({ key, place, row: nameOf(key) })),
    copies: result.copies.map(({ row: copy, key, firstPlace, same }) => ({
      ...{ place: copy.place, firstPlace, same, row: nameOf(key) },
      explanation: same
        ? `Row of ${copy.place} is a copy of ${firstPlace} and says the same; it is left out.`
        : `Row of ${copy.place} carries the hidden key of ${firstPlace}, so it was copied from it. Add it as a new run, or leave it out.`,
    })),
    missing: result.missing.map(nameOf),
    ignoredColumns: [...book.ignoredColumns],
  };
}

const baseName = ({ base }: ReturnedBook, key: string) => base.find((each) => each.key === key)?.cells.name ?? key;

const NOTHING = {
  seen: '',
  counts: { added: 0, changed: 0, cancelled: 0, unchanged: 0, conflicts: 0 },
  changes: [],
  conflicts: [],
  deleteConflicts: [],
  added: [],
  deletes: [],
  copies: [],
  missing: [],
  ignoredColumns: [],
};
