export { cellName as address, columnName as columnLetters } from '@jarfold/domain';

/** The last cell of the format: row 1,048,576 and column XFD (ECMA-376 part 1, 18.3.1.4, as spreadsheet programs limit it). */
export const LAST_ROW = 1_048_576;
export const LAST_COLUMN = 16_384;

/** Column and row of an address, or null when it is none a spreadsheet can have. Called for every cell of a file. */
export function parseAddress(text: string): { readonly column: number; readonly row: number } | null {
  let column = 0;
  let at = 0;
  for (; at < text.length && at < 4; at++) {
    const letter = text.charCodeAt(at) - 64;
    if (letter < 1 || letter > 26) break;
    column = column * 26 + letter;
  }
  const row = wholeNumber(text, at);
  return column >= 1 && column <= LAST_COLUMN && row >= 1 && row <= LAST_ROW ? { column, row } : null;
}

/** The digits from a place to the end as a number; 0 when there are none, others between, or a leading zero. */
function wholeNumber(text: string, from: number): number {
  if (from >= text.length || text.length - from > 7 || text.charCodeAt(from) === 48) return 0;
  let number = 0;
  for (let at = from; at < text.length; at++) {
    const digit = text.charCodeAt(at) - 48;
    if (digit < 0 || digit > 9) return 0;
    number = number * 10 + digit;
  }
  return number;
}
