import type { WeeklyBook } from '@jarfold/domain';
import { serialOfDay } from '../cells/serial-day.js';
import { toldOfRows, writeXlsx } from '../writing/write-xlsx.js';
import {
  AS_OF_NAME,
  coldSheetDraft,
  contaminationSheetDraft,
  harvestSheetDraft,
  jarSheetDraft,
  listSheetDraft,
  planSheetDraft,
} from './book-sheets.js';
import { manifestOf, manifestSheet } from './manifest.js';
import { orderSheetDraft } from './order-sheet.js';
import { runSheetDraft } from './run-sheet.js';
import { weekSheetDraft } from './week-sheet.js';

/**
 * The weekly workbook of a farm: readable by a person at once, and by Jarfold when it comes back.
 * @param onRow told for each row that is written; what it throws ends the writing
 */
export function writeWeeklyWorkbook(book: WeeklyBook, onRow: () => void = () => {}): Promise<Buffer> {
  const sheets = [
    weekSheetDraft(book),
    planSheetDraft(book),
    runSheetDraft(book),
    // Most farms give no spawn away: they are spared an empty sheet.
    ...(book.orders.length > 0 ? [orderSheetDraft(book)] : []),
    jarSheetDraft(book),
    coldSheetDraft(book),
    contaminationSheetDraft(book),
    harvestSheetDraft(book),
    listSheetDraft(book),
    manifestSheet(manifestOf(book)),
  ];
  return writeXlsx(toldOfRows(sheets, onRow), `${book.farmName} ${book.week}`, {
    [AS_OF_NAME]: String(serialOfDay(book.asOf)),
  });
}
