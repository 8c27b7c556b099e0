/** Controls, and marks that change direction or have no width: they come in with pasted text and make equal names differ. */
const INVISIBLE = /[\p{Cc}\p{Cf}]/gu;

/** Text as a person sees it: no invisible characters, one space between words, full-width forms made plain. */
export function cleanText(text: string): string {
  return text
    .normalize('NFKC')
    .replace(/[\t\n\r]/g, ' ')
    .replace(INVISIBLE, '')
    .replace(/\s+/g, ' ')
    .trim();
}

/** For comparing names: case and spacing do not matter. */
export function nameKey(text: string): string {
  return cleanText(text).toLowerCase();
}

/** For comparing headings: nothing but letters, digits and % matters, so `Wet (kg)` is `wet kg`. */
export function headingKey(text: string): string {
  return nameKey(text).replace(/[^\p{L}\p{N}%]/gu, '');
}
