/** Controls, and marks that change direction or have no width: they come in with pasted text and make equal names differ. */
const INVISIBLE = /[\p{Cc}\p{Cf}]/gu;

/**
 * Text as a person sees it in a cell: no invisible characters, one space between words, full-width forms made plain. Both
 * sides of a comparison go through this, so that a program that trims text on the way changes nothing.
 */
export function cellText(text: string): string {
  return text
    .normalize('NFKC')
    .replace(/[\t\n\r]/g, ' ')
    .replace(INVISIBLE, '')
    .replace(/\s+/g, ' ')
    .trim();
}
