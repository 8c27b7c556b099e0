import type ExcelJS from 'exceljs';
import { columnLetters } from '../cells/address.js';
import { FONT, GRAIN, INK, LINE_HEIGHT, RULE, STRAW } from './house-style.js';
import { safeText } from './safe-text.js';
import type { DraftColumn, SheetDraft } from './sheet-draft.js';

/** Rows below the table that keep its validation lists, for what a person adds. */
const SPARE_ROWS = 200;

/** Headings, number formats, widths, heights, rules, notes and lists of a written table. */
export function dressTable(sheet: ExcelJS.Worksheet, draft: SheetDraft, headRow: number): void {
  draft.columns.forEach((column, index) => {
    const at = index + 1;
    sheet.getColumn(at).width = column.width;
    dressHeading(sheet.getCell(headRow, at), column);
    for (let row = headRow + 1; row <= headRow + draft.rows.length; row++) dressCell(sheet.getCell(row, at), column);
    const letters = columnLetters(at);
    offer(sheet, `${letters}${headRow + 1}:${letters}${headRow + draft.rows.length + SPARE_ROWS}`, column);
  });
  setHeights(sheet, draft, headRow);
  markRows(sheet, draft, headRow);
}

function dressHeading(head: ExcelJS.Cell, column: DraftColumn): void {
  head.font = { name: FONT, bold: true, color: { argb: INK } };
  head.fill = { type: 'pattern', pattern: 'solid', fgColor: { argb: GRAIN } };
  head.alignment = { ...sideOf(column), vertical: 'middle', wrapText: true };
  head.border = { bottom: { style: 'medium', color: { argb: INK } } };
  if (column.note) head.note = { texts: [{ text: safeText(column.note) }] };
}

function dressCell(cell: ExcelJS.Cell, column: DraftColumn): void {
  cell.numFmt = column.format;
  cell.font = { name: FONT, color: { argb: INK } };
  cell.alignment = { ...sideOf(column), vertical: 'top', wrapText: column.wrap ?? false };
  cell.border = { bottom: { style: 'thin', color: { argb: RULE } } };
}

function sideOf({ align, format }: DraftColumn): Partial<ExcelJS.Alignment> {
  const isNumber = /^[0#G]/.test(format);
  return (align ?? (isNumber ? 'right' : 'left')) === 'right'
    ? { horizontal: 'right' }
    : { horizontal: 'left', indent: 1 };
}

/** One rule for a whole range: the library's types only know rules for single cells, which make large files. */
interface RangeRules {
  readonly dataValidations: { add(range: string, rule: ExcelJS.DataValidation): void };
}

function offer(sheet: ExcelJS.Worksheet, range: string, { header, words }: DraftColumn): void {
  if (!words) return;
  (sheet as unknown as RangeRules).dataValidations.add(range, {
    type: 'list',
    allowBlank: true,
    formulae: [`"${words.join(',')}"`],
    showErrorMessage: true,
    errorTitle: header,
    error: `Choose one of: ${words.join(', ')}.`,
  });
}

/** Programs do not agree on fitting rows to wrapped text when they open a file, so the heights are written. */
function setHeights(sheet: ExcelJS.Worksheet, { columns, rows }: SheetDraft, headRow: number): void {
  const headings = columns.map(({ header }) => header);
  sheet.getRow(headRow).height = LINE_HEIGHT * linesIn(headings, columns) + 6;
  rows.forEach((row, index) => {
    const texts = row.map((value, at) => (columns[at]?.wrap && typeof value === 'string' ? value : ''));
    sheet.getRow(headRow + 1 + index).height = LINE_HEIGHT * linesIn(texts, columns) + 3;
  });
}

/** Lines the fullest cell takes; a little is allowed for words that do not fill a line. */
function linesIn(texts: readonly string[], columns: readonly DraftColumn[]): number {
  return Math.max(1, ...texts.map((text, at) => Math.ceil((text.length * 1.05) / (columns[at]?.width ?? 10))));
}

function markRows(sheet: ExcelJS.Worksheet, { rows, columns, marked }: SheetDraft, headRow: number): void {
  rows.forEach((row, index) => {
    if (!marked?.(row)) return;
    for (let at = 1; at <= columns.length; at++) {
      const cell = sheet.getCell(headRow + 1 + index, at);
      cell.fill = { type: 'pattern', pattern: 'solid', fgColor: { argb: STRAW } };
      cell.font = { name: FONT, bold: true, color: { argb: INK } };
    }
  });
}
