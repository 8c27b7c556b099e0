/** The last cell of the format: row 1,048,576 and column XFD (ECMA-376 part 1, 18.3.1.4, as spreadsheet programs limit it). */
export const LAST_ROW = 1_048_576;
export const LAST_COLUMN = 16_384;

const ADDRESS = /^([A-Z]{1,3})([1-9]\d{0,6})$/;

/** `C7` for column 3, row 7. */
export function address(column: number, row: number): string {
  return `${columnLetters(column)}${row}`;
}

export function columnLetters(column: number): string {
  let letters = '';
  for (let rest = column; rest > 0; rest = Math.floor((rest - 1) / 26)) {
    letters = String.fromCharCode(65 + ((rest - 1) % 26)) + letters;
  }
  return letters;
}

/** Column and row of an address, or null when it is none a spreadsheet can have. */
export function parseAddress(text: string): { readonly column: number; readonly row: number } | null {
  const match = ADDRESS.exec(text);
  if (!match) return null;
  const column = [...(match[1] ?? '')].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0);
  const row = Number(match[2]);
  return column <= LAST_COLUMN && row <= LAST_ROW ? { column, row } : null;
}
