import type { CalendarDay } from '@jarfold/domain';
import type ExcelJS from 'exceljs';
import { columnLetters } from '../cells/address.js';
import { dressTable } from './dress-table.js';
import { FONT, INK } from './house-style.js';
import { safeText } from './safe-text.js';
import type { DraftColumn, DraftValue, SheetDraft } from './sheet-draft.js';

/**
 * Writes sheets as an .xlsx file: each a real table with frozen headings, number formats and print set-up. The only
 * place that knows the library behind it.
 */
export async function writeXlsx(sheets: readonly SheetDraft[], title: string): Promise<Buffer> {
  // Loaded when something is written: most plans are only printed.
  const { default: Library } = await import('exceljs');
  const workbook = new Library.Workbook();
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
  dressTable(sheet, draft, headRow);
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
  columns.forEach(({ total, format }, at) => {
    const cell = sheet.getCell(totalRow, at + 1);
    cell.font = { name: FONT, bold: true, color: { argb: INK } };
    if (!total) return;
    cell.numFmt = format;
    const letters = columnLetters(at + 1);
    const result = rows.reduce((sum, row) => sum + (typeof row[at] === 'number' ? row[at] : 0), 0);
    cell.value = { formula: `SUBTOTAL(109,${letters}${headRow + 1}:${letters}${totalRow - 1})`, result };
  });
}

function cellValue(value: DraftValue): string | number | Date | null {
  if (typeof value === 'string') return safeText(value);
  return value !== null && typeof value === 'object' ? dateOf(value.day) : value;
}

/** The library turns a Date into a day number in UTC, so midnight UTC is the day itself in every time zone. */
const dateOf = (day: CalendarDay): Date => new Date(`${day}T00:00:00Z`);
