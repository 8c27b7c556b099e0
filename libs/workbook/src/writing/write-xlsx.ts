import type { CalendarDay } from '@jarfold/domain';
import ExcelJS from 'exceljs';
import { columnLetters } from '../cells/address.js';
import type { DraftColumn, DraftValue, SheetDraft } from './sheet-draft.js';

const INK = 'FF2B2B26';
const HEAD_FILL = 'FFE8E2D0';
const MARK_FILL = 'FFFBEBC8';
const FONT = 'Calibri';
/** Rows below the table that keep its validation lists, for what a person adds. */
const SPARE_ROWS = 200;

/**
 * Writes sheets as an .xlsx file: each a real table with frozen headings, number formats and print set-up. The only
 * place that knows the library behind it.
 */
export async function writeXlsx(sheets: readonly SheetDraft[], title: string): Promise<Buffer> {
  const workbook = new ExcelJS.Workbook();
  workbook.creator = 'Jarfold';
  workbook.title = title;
  for (const [index, sheet] of sheets.entries()) writeSheet(workbook, sheet, index);
  return Buffer.from(await workbook.xlsx.writeBuffer());
}

function writeSheet(workbook: ExcelJS.Workbook, draft: SheetDraft, index: number): void {
  const headRow = draft.title.length + 1;
  const sheet = workbook.addWorksheet(draft.name, {
    views: [{ state: 'frozen', xSplit: 1, ySplit: headRow, showGridLines: false }],
    pageSetup: {
      paperSize: 9,
      orientation: 'landscape',
      fitToPage: true,
      fitToWidth: 1,
      fitToHeight: 0,
      margins: { left: 0.4, right: 0.4, top: 0.5, bottom: 0.6, header: 0.3, footer: 0.3 },
      printTitlesRow: `${headRow}:${headRow}`,
    },
    headerFooter: { oddFooter: '&L&A&RPage &P of &N' },
  });
  writeTitle(sheet, draft.title);
  writeTable(sheet, draft, headRow, index);
  draft.columns.forEach((column, at) => {
    dressColumn(sheet, column, at + 1, headRow, draft.rows.length);
  });
  markRows(sheet, draft, headRow);
}

function writeTitle(sheet: ExcelJS.Worksheet, title: readonly string[]): void {
  title.forEach((line, index) => {
    const cell = sheet.getCell(index + 1, 1);
    cell.value = safeText(line);
    cell.font = { name: FONT, size: index === 0 ? 16 : 10, bold: index === 0, color: { argb: INK } };
    cell.alignment = { vertical: 'middle' };
    sheet.getRow(index + 1).height = index === 0 ? 24 : 15;
  });
}

function writeTable(
  sheet: ExcelJS.Worksheet,
  { name, columns, rows, whenEmpty }: SheetDraft,
  headRow: number,
  index: number,
) {
  const hasTotals = rows.length > 0 && columns.some(({ total }) => total);
  const empty = rows.length === 0 ? [columns.map((_, at) => (at === 0 ? (whenEmpty ?? '') : null))] : [];
  sheet.addTable({
    name: `${name.replace(/\W/g, '_')}_${index + 1}`,
    ref: `A${headRow}`,
    headerRow: true,
    totalsRow: hasTotals,
    style: { theme: 'TableStyleLight1', showRowStripes: true },
    columns: columns.map(({ header, total }, at) => ({
      name: header,
      filterButton: true,
      ...(at === 0 && hasTotals ? { totalsRowLabel: 'Total' } : {}),
      ...(total ? { totalsRowFunction: 'sum' as const } : {}),
    })),
    rows: [...rows, ...empty].map((row) => row.map(cellValue)),
  });
  if (hasTotals) writeTotals(sheet, columns, rows, headRow);
}

/** The results beside the formulas, so that a program that does not calculate shows them too. */
function writeTotals(
  sheet: ExcelJS.Worksheet,
  columns: readonly DraftColumn[],
  rows: SheetDraft['rows'],
  headRow: number,
) {
  const totalRow = headRow + rows.length + 1;
  columns.forEach(({ total }, at) => {
    const cell = sheet.getCell(totalRow, at + 1);
    cell.font = { name: FONT, bold: true, color: { argb: INK } };
    if (!total) return;
    const letters = columnLetters(at + 1);
    const result = rows.reduce((sum, row) => sum + (typeof row[at] === 'number' ? row[at] : 0), 0);
    cell.value = { formula: `SUBTOTAL(109,${letters}${headRow + 1}:${letters}${totalRow - 1})`, result };
  });
}

function dressColumn(
  sheet: ExcelJS.Worksheet,
  column: DraftColumn,
  at: number,
  headRow: number,
  rowCount: number,
): void {
  sheet.getColumn(at).width = column.width;
  const head = sheet.getCell(headRow, at);
  head.font = { name: FONT, bold: true, color: { argb: INK } };
  head.fill = { type: 'pattern', pattern: 'solid', fgColor: { argb: HEAD_FILL } };
  head.alignment = { vertical: 'middle', wrapText: true };
  head.border = { bottom: { style: 'medium', color: { argb: INK } } };
  if (column.note) head.note = { texts: [{ text: safeText(column.note) }] };
  const number = column.format !== '@' && !column.format.startsWith('yyyy');
  for (let row = headRow + 1; row <= headRow + rowCount + 1; row++) {
    const cell = sheet.getCell(row, at);
    cell.numFmt = column.format;
    cell.alignment = { vertical: 'top', horizontal: number ? 'right' : 'left', wrapText: column.wrap ?? false };
  }
  if (column.words)
    offer(sheet, `${columnLetters(at)}${headRow + 1}:${columnLetters(at)}${headRow + rowCount + SPARE_ROWS}`, column);
}

/** One rule for a whole range: the library's types only know rules for single cells, which make large files. */
interface RangeRules {
  readonly dataValidations: { add(range: string, rule: ExcelJS.DataValidation): void };
}

function offer(sheet: ExcelJS.Worksheet, range: string, { header, words = [] }: DraftColumn): void {
  (sheet as unknown as RangeRules).dataValidations.add(range, {
    type: 'list',
    allowBlank: true,
    formulae: [`"${words.join(',')}"`],
    showErrorMessage: true,
    errorTitle: header,
    error: `Choose one of: ${words.join(', ')}.`,
  });
}

function markRows(sheet: ExcelJS.Worksheet, { rows, columns, marked }: SheetDraft, headRow: number): void {
  rows.forEach((row, index) => {
    if (!marked?.(row)) return;
    for (let at = 1; at <= columns.length; at++) {
      const cell = sheet.getCell(headRow + 1 + index, at);
      cell.fill = { type: 'pattern', pattern: 'solid', fgColor: { argb: MARK_FILL } };
      cell.font = { name: FONT, bold: true, color: { argb: INK } };
    }
  });
}

function cellValue(value: DraftValue): string | number | Date | null {
  if (typeof value === 'string') return safeText(value);
  return value !== null && typeof value === 'object' ? dateOf(value.day) : value;
}

/** The library turns a Date into a day number in UTC, so midnight UTC is the day itself in every time zone. */
const dateOf = (day: CalendarDay): Date => new Date(`${day}T00:00:00Z`);

const LOOKS_ESCAPED = /_x(?=[0-9A-Fa-f]{4}_)/g;

/** XML cannot hold control characters; text that looks like an escape is escaped, or it would read back as another. */
function safeText(text: string): string {
  return text.replace(/(?![\n\t])\p{Cc}/gu, ' ').replace(LOOKS_ESCAPED, '_x005F_x');
}
