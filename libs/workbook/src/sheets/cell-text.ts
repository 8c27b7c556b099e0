import { shownContent } from '@jarfold/domain';
import type { CellContent } from '../cells/cell.js';

/** What the cell shows, for messages: at most 60 characters. */
export function shownValue(content: CellContent): string {
  const text = shownContent(content)
    .trim()
    .replace(/[\p{Cc}\p{Cf}]/gu, ' ');
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

/** Twelve digits are what a person typed; more are the last bits of floating point: 0.07 × 100 is 7.000000000000001. */
export const asTyped = (number: number): number => Number(number.toPrecision(12));

export const roundedPercent = (fraction: number): number => asTyped(fraction * 100);
