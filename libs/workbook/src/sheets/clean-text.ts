import { cellText } from '@jarfold/domain';

/** Text as a person sees it: no invisible characters, one space between words, full-width forms made plain. */
export const cleanText: (text: string) => string = cellText;

/** For comparing names: case and spacing do not matter. */
export function nameKey(text: string): string {
  return cleanText(text).toLowerCase();
}

/** For comparing headings: nothing but letters, digits and % matters, so `Wet (kg)` is `wet kg`. */
export function headingKey(text: string): string {
  return nameKey(text).replace(/[^\p{L}\p{N}%]/gu, '');
}
