import {
  type BookReading,
  type CellValue,
  cellNumber,
  type FileUnits,
  fractionToPercent,
  largeMassUnit,
  type RunCellName,
  type TheirRow,
} from '@jarfold/domain';
import { address } from '../cells/address.js';
import type { Cell, SheetCells, SheetRow, WorkbookCells } from '../cells/cell.js';
import { defaultLimits, type WorkbookLimits } from '../package/limits.js';
import { readCellsInChild } from '../package/read-cells-in-child.js';
import { UnreadableWorkbook, type WorkbookProblem } from '../problem.js';
import { shownValue } from '../sheets/cell-text.js';
import { cleanText, headingKey, nameKey } from '../sheets/clean-text.js';
import type { Reading, ValueKind } from '../sheets/column.js';
import { ProblemList } from '../sheets/problem-list.js';
import { readCell } from '../sheets/read-table.js';
import { choice, day, name, names, number, percent, whole } from '../sheets/value-kinds.js';
import { readManifest } from './read-manifest.js';
import { DELETE_HEADING, DELETE_WORD, KEY_HEADING, runHeadings } from './run-sheet.js';

/**
 * Reads a weekly workbook that came back: opened in a process of its own, with limits on what it may be. Rows are found
 * by their hidden key on whatever sheet the table stands now.
 * @returns what the file says, or every problem found in one pass
 */
export async function readWeeklyWorkbook(bytes: Buffer, limits: WorkbookLimits = defaultLimits): Promise<BookReading> {
  try {
    return readWeekly(await readCellsInChild(bytes, limits));
  } catch (error) {
    if (error instanceof UnreadableWorkbook) return { ok: false, problems: [error.problem] };
    throw error;
  }
}

/** @throws UnreadableWorkbook when the file is none of ours or lacks its table */
export function readWeekly(workbook: WorkbookCells): BookReading {
  const { manifest, sheet: manifestName } = readManifest(workbook);
  const { units, runs: base, ...facts } = manifest;
  const kinds = runKinds(units);
  const headings = runHeadings(units);
  const table = findTable(
    workbook.sheets.filter((sheet) => sheet.name !== manifestName),
    headings,
  );
  const found = new ProblemList();
  const rows = table === null ? [] : readRows(table, kinds, found);
  if (table === null) found.add(noTable());
  if (table === null || found.problems.length > 0) return { ok: false, problems: found.problems };
  return {
    ok: true,
    book: {
      ...{ ...facts, units, base, headings, sheet: table.sheet.name, rows },
      ignoredColumns: table.ignored,
      notes: found.notices.map(({ message }) => message),
    },
  };
}

type Kinds = Readonly<Record<RunCellName, { readonly kind: ValueKind<unknown>; readonly mayBeBlank: boolean }>>;

/** The columns as they are read; percentages come as numbers of per cent. */
function runKinds(units: FileUnits): Kinds {
  const must = <T>(kind: ValueKind<T>) => ({ kind: kind as unknown as ValueKind<unknown>, mayBeBlank: false });
  const may = <T>(kind: ValueKind<T>) => ({ kind: kind as unknown as ValueKind<unknown>, mayBeBlank: true });
  return {
    name: must(name),
    day: must(day),
    strains: must(names),
    substrate: must(number({ min: 0.001, max: 1_000_000, unit: largeMassUnit(units) })),
    moisture: may(percent({ min: 1, max: 99 })),
    spawnRate: must(percent({ min: 0.01, max: 100 })),
    basis: must(choice({ 'wet/wet': ['wet'], 'wet/dry': [], 'dry/dry': ['dry'] })),
    minimum: must(percent({ min: 0, max: 100 })),
    maximum: must(percent({ min: 100, max: 300 })),
    priority: must(whole({ min: 1, max: 9 })),
    slackDays: must(whole({ min: 0, max: 60 })),
    state: must(choice({ planned: [], done: [] })),
    note: may(name),
  };
}

const PERCENT: ReadonlySet<RunCellName> = new Set(['moisture', 'spawnRate', 'minimum', 'maximum']);
/** What a new row may leave out: the farm's usual values are taken. */
const NEEDED_IN_NEW: ReadonlySet<RunCellName> = new Set(['day', 'strains', 'substrate']);

interface FoundTable {
  readonly sheet: SheetCells;
  readonly headRow: number;
  readonly places: ReadonlyMap<RunCellName, number>;
  readonly headings: Readonly<Record<RunCellName, string>>;
  readonly keyColumn: number;
  readonly deleteColumn: number | null;
  readonly ignored: readonly string[];
}

/** Headings whose values Jarfold works out itself. */
const WORKED_OUT = /^(spawnwanted|covered)(g|lb)$|^sharecovered$|^whatlimitsit$/;

function findTable(sheets: readonly SheetCells[], headings: Readonly<Record<RunCellName, string>>): FoundTable | null {
  const byHeading = new Map(
    Object.entries(headings).map(([key, heading]) => [headingKey(heading), key as RunCellName]),
  );
  for (const sheet of sheets) {
    for (const row of sheet.rows.slice(0, 30)) {
      const keys = row.cells.map(({ content, column }) => ({ key: headingKey(shownValue(content)), column, content }));
      const keyColumn = keys.find(({ key }) => key === headingKey(KEY_HEADING))?.column;
      const known = keys.flatMap(({ key, column }) => {
        const cellName = byHeading.get(key);
        return cellName === undefined ? [] : [[cellName, column] as const];
      });
      // Another of our sheets has no Key; a few columns are enough, since a person may have removed some.
      if (keyColumn === undefined || known.length < 2) continue;
      const deleteColumn = keys.find(({ key }) => key === headingKey(DELETE_HEADING))?.column ?? null;
      const ignored = keys.filter(
        ({ key, column }) =>
          !byHeading.has(key) && column !== keyColumn && column !== deleteColumn && !WORKED_OUT.test(key),
      );
      const places = new Map<RunCellName, number>();
      for (const [cellName, column] of known) if (!places.has(cellName)) places.set(cellName, column);
      return {
        ...{ sheet, headRow: row.row, places, headings, keyColumn, deleteColumn },
        ignored: ignored.map(({ content }) => cleanText(shownValue(content))),
      };
    }
  }
  return null;
}

function readRows(table: FoundTable, kinds: Kinds, found: ProblemList): TheirRow[] {
  return table.sheet.rows.filter(({ row }) => row > table.headRow).flatMap((row) => readRow(row, table, kinds, found));
}

function readRow(row: SheetRow, table: FoundTable, kinds: Kinds, found: ProblemList): TheirRow[] {
  const at = (column: number | null) => row.cells.find((cell) => cell.column === column) ?? null;
  const keyCell = at(table.keyColumn);
  const key = keyCell === null ? null : cleanText(shownValue(keyCell.content));
  const cells = [...table.places].map(([cellName, column]) => [cellName, column, at(column)] as const);
  const said = cells.filter(([, , cell]) => cell !== null);
  if (key === null && (said.length === 0 || isTotals(row))) return [];
  const deleted = readDelete(at(table.deleteColumn), row.row, table, found);
  if (key === null && deleted) return [];
  const values: Record<string, CellValue> = {};
  for (const [cellName, column, cell] of cells) {
    const value = readValue(cellName, column, cell, key === null, row.row, table, kinds, found);
    if (value !== undefined) values[cellName] = value;
  }
  if (key === null) requireNeeded(values, row.row, table, found);
  const place = address(table.places.get('name') ?? table.keyColumn, row.row);
  const places = Object.fromEntries(cells.map(([cellName, column]) => [cellName, address(column, row.row)]));
  return [{ key, values, deleted, place, places }];
}

const isTotals = ({ cells }: SheetRow) =>
  cells[0]?.content.kind === 'text' && /^(grand |sub)?totals?:?$/i.test(cleanText(cells[0].content.text));

function readDelete(cell: Cell | null, row: number, table: FoundTable, found: ProblemList): boolean {
  if (cell === null) return false;
  const word = nameKey(shownValue(cell.content));
  if ([DELETE_WORD, 'x', 'yes', 'true'].includes(word)) return true;
  const rule = `Only "${DELETE_WORD}" may stand here.`;
  const advice = `Write ${DELETE_WORD} to cancel the run, or clear the cell.`;
  report(found, table, DELETE_HEADING, cell.column, row, cell, { ok: false, code: 'unknown-word', rule, advice });
  return false;
}

/** The value as a cell keeps it; null for blank; undefined when it was refused, or left out of a new row. */
function readValue(
  cellName: RunCellName,
  column: number,
  cell: Cell | null,
  isNew: boolean,
  row: number,
  table: FoundTable,
  kinds: Kinds,
  found: ProblemList,
): CellValue | undefined {
  const { kind, mayBeBlank } = kinds[cellName];
  if (cell === null) {
    if (isNew) return undefined;
    if (mayBeBlank) return null;
    const rule = 'The cell is blank and must be filled.';
    const advice = 'Fill it in again. To cancel the run write "delete" into its Delete cell.';
    report(found, table, table.headings[cellName], column, row, null, {
      ok: false,
      code: 'missing-value',
      rule,
      advice,
    });
    return undefined;
  }
  const reading = readCell(cell, { kind } as Parameters<typeof readCell>[1]) as Reading<unknown>;
  if (reading.ok) return asCellValue(cellName, reading.value);
  report(found, table, table.headings[cellName], column, row, cell, reading);
  return undefined;
}

function asCellValue(cellName: RunCellName, value: unknown): CellValue {
  if (PERCENT.has(cellName)) return cellNumber(fractionToPercent(value as number));
  if (cellName === 'strains') return (value as readonly string[]).map((code) => code.toUpperCase()).join(', ');
  return typeof value === 'number' ? cellNumber(value) : (value as CellValue);
}

function requireNeeded(values: Record<string, CellValue>, row: number, table: FoundTable, found: ProblemList): void {
  for (const cellName of NEEDED_IN_NEW) {
    const column = table.places.get(cellName);
    if (values[cellName] !== undefined || column === undefined) continue;
    if (found.problems.some(({ cell }) => cell === address(column, row))) continue;
    const rule = 'A new run needs this.';
    const advice = 'Fill it in, or clear the whole row.';
    report(found, table, table.headings[cellName], column, row, null, {
      ok: false,
      code: 'missing-value',
      rule,
      advice,
    });
  }
}

function report(
  found: ProblemList,
  { sheet }: FoundTable,
  heading: string,
  column: number,
  row: number,
  cell: Cell | null,
  { code, rule, advice }: Extract<Reading<never>, { ok: false }>,
): void {
  const value = cell === null ? null : shownValue(cell.content);
  found.add({ code, sheet: sheet.name, cell: address(column, row), column: heading, value, rule, advice });
}

const noTable = (): WorkbookProblem => ({
  code: 'missing-sheet',
  sheet: null,
  cell: null,
  column: null,
  value: null,
  rule: 'No sheet of the file has the table of bulk runs: its row of headings with the hidden column Key is gone.',
  advice: 'Download a fresh workbook and copy your changes into it.',
});
