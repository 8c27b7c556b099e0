import { unreadable } from '../problem.js';
import type { WorkbookLimits } from './limits.js';

const ZIP = [0x50, 0x4b, 0x03, 0x04];
const EMPTY_ZIP = [0x50, 0x4b, 0x05, 0x06];
/** Compound file: the old binary workbook, and also the wrapping of a workbook protected by a password. */
const COMPOUND = [0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1];
const ENCRYPTED_STREAM = Buffer.from('EncryptedPackage', 'utf16le');

const SAVE_AS_XLSX = 'Open it in a spreadsheet program and save it as an Excel workbook (.xlsx).';

/**
 * Looks at the first bytes only, whatever the file is called.
 * @throws UnreadableWorkbook when the bytes are no zip package, too many, or none
 */
export function requireZip(bytes: Buffer, limits: WorkbookLimits): void {
  if (bytes.length === 0) throw unreadable('empty-file', 'The file is empty (0 bytes).', 'Save the workbook again.');
  if (bytes.length > limits.fileBytes) {
    throw unreadable(
      'too-large',
      `The file has ${megabytes(bytes.length)} MB; at most ${megabytes(limits.fileBytes)} MB are read.`,
      'Keep pictures and old sheets out of it.',
    );
  }
  if (startsWith(bytes, COMPOUND)) throw compoundFile(bytes);
  if (!startsWith(bytes, ZIP) && !startsWith(bytes, EMPTY_ZIP)) throw notAWorkbook(bytes);
}

function compoundFile(bytes: Buffer) {
  return bytes.includes(ENCRYPTED_STREAM)
    ? unreadable('protected', 'The workbook is locked with a password.', 'Remove the password and save it again.')
    : unreadable('old-format', 'This is a workbook of the old binary kind (.xls).', SAVE_AS_XLSX);
}

function notAWorkbook(bytes: Buffer) {
  const start = bytes.subarray(0, 2048);
  const looksLikeText = !start.includes(0) && !start.toString('utf8').includes('\ufffd');
  return looksLikeText
    ? unreadable('not-a-workbook', 'This is a text file (CSV, perhaps), not a workbook.', SAVE_AS_XLSX)
    : unreadable('not-a-workbook', 'This is not a workbook: it does not begin like an .xlsx file.', SAVE_AS_XLSX);
}

const startsWith = (bytes: Buffer, magic: readonly number[]) => magic.every((byte, index) => bytes[index] === byte);
const megabytes = (bytes: number) => Math.round(bytes / 1024 / 102.4) / 10;
