import type { SheetCells, WorkbookCells } from '../cells/cell.js';
import { nameKey } from './clean-text.js';
import { nearestName } from './nearest-name.js';
import type { ProblemList } from './problem-list.js';

/** Finds the sheets by name, whatever their case and spacing; reports those that are missing, double or not needed. */
export function findSheets<N extends string>(
  workbook: WorkbookCells,
  wanted: readonly N[],
  found: ProblemList,
): Readonly<Record<N, SheetCells | null>> {
  const keys = new Set<string>(wanted.map(nameKey));
  const others = workbook.sheets.filter(({ name }) => !keys.has(nameKey(name)));
  const sheets = wanted.map((name) => [name, oneSheet(name, workbook, others, found)] as const);
  for (const { name, rows } of others) {
    if (rows.length > 0) found.note(name, null, `Sheet "${name}" is none Jarfold knows; it was left out.`);
  }
  return Object.fromEntries(sheets) as Record<N, SheetCells | null>;
}

function oneSheet(name: string, { sheets }: WorkbookCells, others: readonly SheetCells[], found: ProblemList) {
  const [sheet, second] = sheets.filter((candidate) => nameKey(candidate.name) === nameKey(name));
  if (second) {
    const rule = `The workbook has two sheets called ${name}.`;
    found.add({ ...ofSheet(second.name), code: 'repeated-sheet', rule, advice: 'Rename or delete one of them.' });
  }
  if (sheet) return sheet;
  const near = nearestName(
    name,
    others.map((other) => other.name),
  );
  const rule = `The workbook has no sheet called ${name}.`;
  const advice = near
    ? `Did you mean "${near}"? Rename it to ${name}.`
    : `Add a sheet ${name}; see the workbook guide.`;
  found.add({ ...ofSheet(name), code: 'missing-sheet', rule, advice });
  return null;
}

const ofSheet = (sheet: string) => ({ sheet, cell: null, column: null, value: null });
