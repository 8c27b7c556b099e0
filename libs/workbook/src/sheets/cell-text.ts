import type { CellContent } from '../cells/cell.js';

/** What the cell shows, for messages: at most 60 characters. */
export function shownValue(content: CellContent): string {
  const text = fullText(content).replace(/[\p{Cc}\p{Cf}]/gu, ' ');
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

function fullText(content: CellContent): string {
  switch (content.kind) {
    case 'text':
      return content.text.trim();
    case 'number':
      return content.percent ? `${roundedPercent(content.number)} %` : String(content.number);
    case 'day':
      return content.shown;
    case 'boolean':
      return content.value ? 'TRUE' : 'FALSE';
    case 'error':
      return content.code;
    case 'uncomputed':
      return '(formula)';
  }
}

/** Twelve digits are what a person typed; more are the last bits of floating point: 0.07 × 100 is 7.000000000000001. */
export const asTyped = (number: number): number => Number(number.toPrecision(12));

export const roundedPercent = (fraction: number): number => asTyped(fraction * 100);
