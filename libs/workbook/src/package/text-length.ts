import { unreadable } from '../problem.js';
import type { WorkbookLimits } from './limits.js';

/** A cell holds at most so many characters in any spreadsheet program; a longer one is no farm's text. */
export function requireTextLength(text: string, where: string, limits: WorkbookLimits): string {
  // Escapes such as _x000D_ take seven characters for one.
  if (text.length <= limits.textLength * 7) return text;
  throw unreadable(
    'too-large',
    `A text in ${where} is longer than the ${limits.textLength} characters a cell can hold.`,
    'Shorten it and save the workbook again.',
  );
}
