import type { FileProblem, WrittenFile } from '@jarfold/domain';
import { MISTAKES_SHEET } from '../marking/mark-problems.js';
import { defaultLimits, type WorkbookLimits } from '../package/limits.js';
import { readCellsInChild } from '../package/read-cells-in-child.js';
import { UnreadableWorkbook, unreadable } from '../problem.js';
import { decodeText, type TextEncoding } from './decode-text.js';
import { readCsv, type Separator } from './read-csv.js';

/** How a file was opened. Of a text file it tells what was taken for its encoding and separator. */
export type OldSheetsOpened =
  | { readonly kind: 'workbook' }
  | { readonly kind: 'text'; readonly encoding: TextEncoding; readonly separator: Separator };

export type OldSheetsReading =
  | { readonly ok: true; readonly file: WrittenFile; readonly opened: OldSheetsOpened }
  | { readonly ok: false; readonly problem: FileProblem };

/** A farm's lists are far below these; they keep one import to seconds. */
export const oldSheetsLimits: WorkbookLimits = { ...defaultLimits, rows: 20_000, cells: 300_000 };

/** Text is split in one pass over its characters, in this process: this many take a fraction of a second. */
const MOST_TEXT_BYTES = 5 * 1024 * 1024;

/**
 * Opens a farm's own spreadsheet: an Excel workbook in a process of its own, or delimited text (CSV). The bytes tell
 * which, whatever the file is called.
 * @param name shown as the sheet of a text file
 */
export async function readOldSheets(
  bytes: Buffer,
  name: string,
  limits: WorkbookLimits = oldSheetsLimits,
): Promise<OldSheetsReading> {
  try {
    if (looksLikeText(bytes)) return textFile(bytes, name, limits);
    const { sheets } = await readCellsInChild(bytes, limits);
    // A copy that was given back with its mistakes marked has a list of ours in front.
    const own = sheets.filter(({ name: title }) => title !== MISTAKES_SHEET);
    return { ok: true, file: { sheets: own }, opened: { kind: 'workbook' } };
  } catch (error) {
    if (error instanceof UnreadableWorkbook) return { ok: false, problem: error.problem };
    throw error;
  }
}

function looksLikeText(bytes: Buffer): boolean {
  const isPackage = bytes.length === 0 || (bytes[0] === 0x50 && bytes[1] === 0x4b) || bytes[0] === 0xd0;
  return !isPackage;
}

function textFile(bytes: Buffer, name: string, limits: WorkbookLimits): OldSheetsReading {
  if (bytes.length > MOST_TEXT_BYTES) {
    const megabytes = MOST_TEXT_BYTES / 1024 / 1024;
    throw unreadable('too-large', `A text file may have ${megabytes} MB.`, 'Send it in parts, each with its headings.');
  }
  const { text, encoding } = decodeText(bytes);
  const { rows, separator } = readCsv(text, limits);
  if (rows.length === 0) throw unreadable('empty-file', 'The file holds no cells.', 'Save your sheet again.');
  const sheet = { name: name.replace(/\.\w{1,5}$/, '').slice(0, 80), hidden: false, rows, merged: [] };
  return { ok: true, file: { sheets: [sheet] }, opened: { kind: 'text', encoding, separator } };
}
