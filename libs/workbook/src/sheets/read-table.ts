import { address } from '../cells/address.js';
import type { Cell, CellContent, SheetCells, SheetRow } from '../cells/cell.js';
import type { WorkbookProblemCode } from '../problem.js';
import { shownValue } from './cell-text.js';
import { cleanText, nameKey } from './clean-text.js';
import type { Column, Columns, Reading, SheetDefinition, ValuesOf } from './column.js';
import { refused } from './column.js';
import { findHeadings, type Headings } from './headings.js';
import { type MergedLookup, mergedLookup } from './merged-cells.js';
import type { ProblemList } from './problem-list.js';

/** One row as read: its values, and where they stand, for what is checked later. */
export interface TableRow<C extends Columns> {
  readonly sheet: string;
  readonly row: number;
  readonly values: ValuesOf<C>;
  /** Columns that hold something that could not be read: reported, and null among the values. */
  readonly unreadable: ReadonlySet<keyof C>;
  /** Address of the column's cell in this row; of the row's first cell when the sheet lacks the column. */
  cell(key: keyof C & string): string;
  header(key: keyof C & string): string;
  /** What the cell shows. */
  shown(key: keyof C & string): string | null;
}

/**
 * Reads the rows below the headings. Blank rows are passed over; rows of totals are noted and left out.
 * @returns the rows whose key could be read; every problem goes to `found`
 */
export function readTable<C extends Columns>(
  sheet: SheetCells,
  definition: SheetDefinition<C>,
  found: ProblemList,
): readonly TableRow<C>[] {
  const headings = findHeadings(sheet, definition, found);
  if (!headings) return [];
  const merged = mergedLookup(sheet);
  const reader = new RowReader(sheet.name, definition, headings, merged, found);
  const rows = sheet.rows.filter(({ row }) => row > headings.row).flatMap((row) => reader.read(row));
  const kept = withoutRepeats(rows, definition, found);
  if (kept.length === 0 && !definition.mayBeEmpty && rows.length === 0) noRows(sheet.name, definition, found);
  return kept;
}

class RowReader<C extends Columns> {
  readonly #sheet: string;
  readonly #definition: SheetDefinition<C>;
  readonly #headings: Headings;
  readonly #merged: MergedLookup;
  readonly #found: ProblemList;

  constructor(
    sheet: string,
    definition: SheetDefinition<C>,
    headings: Headings,
    merged: MergedLookup,
    found: ProblemList,
  ) {
    this.#sheet = sheet;
    this.#definition = definition;
    this.#headings = headings;
    this.#merged = merged;
    this.#found = found;
  }

  read(row: SheetRow): readonly TableRow<C>[] {
    const cells = this.#cellsOf(row);
    if ([...cells.values()].every((cell) => cell === null)) return [];
    if (this.#isTotal(row)) {
      this.#found.note(this.#sheet, address(1, row.row), `Row ${row.row} looks like a row of totals; it was left out.`);
      return [];
    }
    const unreadable = new Set<keyof C>();
    const values: Record<string, unknown> = {};
    for (const [key, column] of Object.entries(this.#definition.columns)) {
      const value = this.#valueOf(key, column, cells.get(key) ?? null, row.row);
      if (value === undefined) unreadable.add(key);
      values[key] = value ?? null;
    }
    return [this.#tableRow(row.row, values as ValuesOf<C>, unreadable, cells)];
  }

  #cellsOf(row: SheetRow): ReadonlyMap<string, Cell | null> {
    const cells = new Map<string, Cell | null>();
    for (const [key, place] of this.#headings.places) {
      const own = row.cells.find(({ column }) => column === place);
      const spread = own ? null : this.#merged.valueSpreadTo(place, row.row);
      const cell = own ?? spread ?? null;
      cells.set(key, cell && isBlank(cell.content) ? null : cell);
    }
    return cells;
  }

  /** A first word such as "Total", or nothing but sums in a row without a key. */
  #isTotal(row: SheetRow): boolean {
    const first = row.cells[0]?.content;
    return (
      first?.kind === 'text' &&
      /^((grand |sub)?totals?|sum|sums|average)\b:?/i.test(cleanText(first.text)) &&
      this.#sumsOnly(row)
    );
  }

  #sumsOnly(row: SheetRow): boolean {
    return row.cells.slice(1).every(({ content, formula }) => formula || content.kind === 'number');
  }

  /** The value; null for blank; undefined when it was refused and reported. */
  #valueOf<T>(key: string, column: Column<T>, cell: Cell | null, row: number): T | null | undefined {
    if (!cell) return column.fallback !== null ? null : this.#missing(key, column, row);
    const reading = readCell(cell, column);
    if (reading.ok) return reading.value;
    this.#report(key, column, row, cell, reading.code, reading.rule, reading.advice);
    return undefined;
  }

  #missing<T>(key: string, column: Column<T>, row: number): undefined {
    const place = this.#headings.places.get(key);
    if (place === undefined) return undefined; // reported once, with the headings
    const covered = this.#merged.covers(place, row);
    const advice = covered ? 'Unmerge the cells and fill each one.' : `Fill in ${column.header}, or delete the row.`;
    const rule = covered ? 'The cell is covered by merged cells.' : 'The cell is blank and must be filled.';
    this.#report(key, column, row, null, covered ? 'merged' : 'missing-value', rule, advice);
    return undefined;
  }

  #report<T>(
    key: string,
    column: Column<T>,
    row: number,
    cell: Cell | null,
    code: WorkbookProblemCode,
    rule: string,
    advice: string,
  ): void {
    const place = this.#headings.places.get(key) ?? 1;
    const value = cell ? shownValue(cell.content) : null;
    this.#found.add({
      code,
      sheet: this.#sheet,
      cell: address(place, row),
      column: column.header,
      value,
      rule,
      advice,
    });
  }

  #tableRow(
    row: number,
    values: ValuesOf<C>,
    unreadable: ReadonlySet<keyof C>,
    cells: ReadonlyMap<string, Cell | null>,
  ): TableRow<C> {
    const { places } = this.#headings;
    return {
      sheet: this.#sheet,
      row,
      values,
      unreadable,
      cell: (key) => address(places.get(key) ?? 1, row),
      header: (key) => this.#definition.columns[key]?.header ?? key,
      shown: (key) => {
        const content = cells.get(key)?.content;
        return content ? shownValue(content) : null;
      },
    };
  }
}

/** What any cell may hold instead of a value, told once for all kinds of columns. */
export function readCell<T>(cell: Cell, column: Column<T>): Reading<T> {
  const { content } = cell;
  if (content.kind === 'error') {
    return refused(
      'formula-error',
      'The formula in this cell ends in an error.',
      'Correct the formula, or write the value.',
    );
  }
  if (content.kind === 'uncomputed') {
    return refused(
      'formula-without-result',
      'The file holds a formula here but not its result; formulas are not run.',
      'Open the file in a spreadsheet program and save it, or write the value.',
    );
  }
  return column.kind.read(cell);
}

/** A dash is how many people mark a cell as blank on purpose. */
export function isBlank(content: CellContent): boolean {
  return content.kind === 'text' && /^(-|–|—|n\/a)?$/i.test(cleanText(content.text));
}

function withoutRepeats<C extends Columns>(
  rows: readonly TableRow<C>[],
  { key, columns }: SheetDefinition<C>,
  found: ProblemList,
): readonly TableRow<C>[] {
  const first = new Map<string, TableRow<C>>();
  return rows.filter((row) => {
    const id = row.values[key];
    if (typeof id !== 'string') return false;
    const earlier = first.get(nameKey(id));
    if (!earlier) {
      first.set(nameKey(id), row);
      return true;
    }
    const header = columns[key]?.header ?? key;
    found.add({
      code: 'repeated-id',
      sheet: row.sheet,
      cell: row.cell(key),
      column: header,
      value: row.shown(key),
      rule: `Row ${earlier.row} already has this ${header}.`,
      advice: `Give each row its own ${header}, or delete the one that was copied.`,
    });
    return false;
  });
}

function noRows<C extends Columns>(sheet: string, { key, columns }: SheetDefinition<C>, found: ProblemList): void {
  const header = columns[key]?.header ?? key;
  const rule = 'The sheet has headings but no rows.';
  found.add({
    code: 'no-rows',
    sheet,
    cell: null,
    column: null,
    value: null,
    rule,
    advice: `Add at least one ${header}.`,
  });
}
