import type { CalendarDay } from '@jarfold/domain';
import type { Cell, CellContent, SheetCells, WorkbookCells } from '../../libs/workbook/src/cells/cell.js';

/** A cell in shorthand: text, number, truth value, blank, or a content spelt out. */
export type ShortCell = string | number | boolean | null | CellContent;

export const dayCell = (day: string): CellContent => ({ kind: 'day', day: day as CalendarDay, shown: day });
export const percentCell = (number: number): CellContent => ({ kind: 'number', number, percent: true });

/** Cells of a workbook from rows of shorthand, the first row at the top. */
export function workbookOf(sheets: Readonly<Record<string, readonly (readonly ShortCell[])[]>>): WorkbookCells {
  return { sheets: Object.entries(sheets).map(([name, rows]) => sheetOf(name, rows)) };
}

export function sheetOf(
  name: string,
  rows: readonly (readonly ShortCell[])[],
  merged: SheetCells['merged'] = [],
): SheetCells {
  return {
    name,
    hidden: false,
    merged,
    rows: rows
      .map((cells, at) => ({ row: at + 1, cells: cells.flatMap((cell, column) => cellOf(cell, at + 1, column + 1)) }))
      .filter(({ cells }) => cells.length > 0),
  };
}

function cellOf(short: ShortCell, row: number, column: number): Cell[] {
  if (short === null) return [];
  return [{ row, column, formula: false, content: contentOf(short) }];
}

function contentOf(short: Exclude<ShortCell, null>): CellContent {
  if (typeof short === 'string') return { kind: 'text', text: short };
  if (typeof short === 'number') return { kind: 'number', number: short, percent: false };
  return typeof short === 'boolean' ? { kind: 'boolean', value: short } : short;
}
