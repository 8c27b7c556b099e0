import type { SheetCells, WorkbookCells } from '../cells/cell.js';
import { unreadable } from '../problem.js';
import { readCellFormats } from './cell-formats.js';
import { requireZip } from './file-kind.js';
import type { WorkbookLimits } from './limits.js';
import { openPackage, type PackageParts } from './open-package.js';
import { readSharedStrings } from './shared-strings.js';
import { readSheetPart } from './sheet-part.js';
import { findWorkbookParts } from './workbook-parts.js';
import { readXml } from './xml-events.js';

/**
 * Reads every cell of every sheet of an .xlsx file, in this process. Files from outside go through
 * `readCellsInChild`, which runs this with a limit on memory and time.
 * Formulas are never run: the result the file holds is taken.
 * @throws UnreadableWorkbook when the file is none, is dangerous, damaged, or passes a limit
 */
export async function readCells(bytes: Buffer, limits: WorkbookLimits): Promise<WorkbookCells> {
  requireZip(bytes, limits);
  const parts = await openPackage(bytes, limits);
  const found = findWorkbookParts(parts);
  requirePlainXml(parts);
  if (found.sheets.length > limits.sheets) {
    throw unreadable('too-large', `The workbook has more than ${limits.sheets} sheets.`, 'Delete those not used.');
  }
  const optional = (name: string | null) => (name === null ? undefined : parts.get(name));
  const strings = optional(found.sharedStrings);
  const styles = optional(found.styles);
  const context = {
    sharedStrings: strings ? readSharedStrings(found.sharedStrings ?? '', strings, limits) : [],
    looks: styles ? readCellFormats(found.styles ?? '', styles) : [],
    date1904: found.date1904,
    limits,
    budget: { cells: limits.cells },
  };
  const sheets: SheetCells[] = [];
  for (const { name, hidden, part } of found.sheets) {
    const sheet = parts.get(part);
    if (!sheet) throw unreadable('damaged', `The file lacks the part ${part} of sheet ${name}.`, 'Save it again.');
    sheets.push({ name, hidden, ...readSheetPart(part, name, sheet, context) });
  }
  return { sheets };
}

const DOCUMENT_TYPE = Buffer.from('<!DOCTYPE');

/** A document type anywhere, also in a part nothing points at, marks a file made to attack a reader. */
function requirePlainXml(parts: PackageParts): void {
  for (const [name, bytes] of parts) if (bytes.includes(DOCUMENT_TYPE)) readXml(name, bytes, {});
}
