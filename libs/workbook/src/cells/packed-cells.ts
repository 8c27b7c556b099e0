import type { CalendarDay } from '@jarfold/domain';
import type { Cell, CellContent, SheetCells, WorkbookCells } from './cell.js';

/**
 * Cells as they go from one process to the other: one flat list to a row (row, then column and content by turns), plain
 * text and numbers as themselves. A fifth of the size of the cells spelt out.
 */
export interface PackedWorkbook {
  readonly sheets: readonly PackedSheet[];
}

interface PackedSheet extends Omit<SheetCells, 'rows'> {
  readonly rows: readonly (readonly PackedContent[])[];
}

type PackedContent = string | number | boolean | PackedOther;

/** `[1]` is per cent, `[2]` a day with what it shows, `[3]` an error, `[4]` not computed; `[5, x]` is x by a formula. */
type PackedOther =
  | readonly [1, number]
  | readonly [2, CalendarDay | null, string]
  | readonly [3, string]
  | readonly [4]
  | readonly [5, PackedContent];

export function packCells({ sheets }: WorkbookCells): PackedWorkbook {
  return {
    sheets: sheets.map(({ rows, ...sheet }) => ({
      ...sheet,
      rows: rows.map(({ row, cells }) => {
        const packed: PackedContent[] = [row];
        for (const cell of cells) packed.push(cell.column, packCell(cell));
        return packed;
      }),
    })),
  };
}

export function unpackCells({ sheets }: PackedWorkbook): WorkbookCells {
  return { sheets: sheets.map(({ rows, ...sheet }) => ({ ...sheet, rows: rows.map(unpackRow) })) };
}

function unpackRow(packed: readonly PackedContent[]) {
  const row = packed[0] as number;
  const cells: Cell[] = [];
  for (let at = 1; at < packed.length; at += 2) {
    cells.push(unpackCell(row, packed[at] as number, packed[at + 1] as PackedContent));
  }
  return { row, cells };
}

function packCell({ content, formula }: Cell): PackedContent {
  return formula ? [5, packContent(content)] : packContent(content);
}

function packContent(content: CellContent): PackedContent {
  switch (content.kind) {
    case 'text':
      return content.text;
    case 'number':
      return content.percent ? [1, content.number] : content.number;
    case 'boolean':
      return content.value;
    case 'day':
      return [2, content.day, content.shown === content.day ? '' : content.shown];
    case 'error':
      return [3, content.code];
    case 'uncomputed':
      return [4];
  }
}

function unpackCell(row: number, column: number, packed: PackedContent): Cell {
  const formula = Array.isArray(packed) && packed[0] === 5;
  return { row, column, formula, content: unpackContent(formula ? (packed[1] as PackedContent) : packed) };
}

function unpackContent(packed: PackedContent): CellContent {
  if (typeof packed === 'string') return { kind: 'text', text: packed };
  if (typeof packed === 'number') return { kind: 'number', number: packed, percent: false };
  if (typeof packed === 'boolean') return { kind: 'boolean', value: packed };
  switch (packed[0]) {
    case 1:
      return { kind: 'number', number: packed[1], percent: true };
    case 2:
      return { kind: 'day', day: packed[1], shown: packed[2] === '' ? String(packed[1]) : packed[2] };
    case 3:
      return { kind: 'error', code: packed[1] };
    case 4:
      return { kind: 'uncomputed' };
    case 5:
      return unpackContent(packed[1]);
  }
}
