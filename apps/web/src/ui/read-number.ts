/**
 * Reads a number as a person types it: a point or a comma before the decimals, blanks around it.
 * @returns null for an empty box, NaN for what is not a number. `1,234.5` is refused: it could mean two things.
 */
export function readNumber(text: string): number | null {
  const trimmed = text.trim();
  if (trimmed === '') return null;
  return /^[-+]?\d+([.,]\d+)?$/.test(trimmed) ? Number(trimmed.replace(',', '.')) : Number.NaN;
}
