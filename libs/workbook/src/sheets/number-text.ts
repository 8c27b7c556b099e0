import { headingKey } from './clean-text.js';
import { type Reading, refused, understood } from './column.js';

/** Digits in groups of three after the first comma or point: `1,200` is 1200 to some and 1.2 to others. */
const AMBIGUOUS = /^[+-]?[1-9]\d{0,2}[.,]\d{3}$/;
const PLAIN = /^[+-]?\d+([.,]\d+)?$/;
const GROUPED_BY_COMMA = /^[+-]?\d{1,3}(,\d{3})+(\.\d+)?$/;
const GROUPED_BY_POINT = /^[+-]?\d{1,3}(\.\d{3})+(,\d+)?$/;
const GROUPED_BY_SPACE = /^[+-]?\d{1,3}([ '’]\d{3})+([.,]\d+)?$/;

/**
 * Reads a number written as text: decimal point or comma, thousands grouped by space, apostrophe, comma or point, and
 * the column's own unit behind it. What can be read two ways is refused with both readings.
 * @param text cleaned text
 * @param unit the column's unit, such as `g` or `%`
 */
export function numberFromText(text: string, unit: string | null): Reading<number> {
  const match = /^([+\-−]?[\d.,' ’]*\d)\s*(.*)$/.exec(text);
  if (!match) return notANumber();
  const digits = (match[1] ?? '').replace('−', '-').trim();
  const suffix = match[2] ?? '';
  if (suffix !== '' && (unit === null || headingKey(suffix) !== headingKey(unit))) return wrongSuffix(suffix, unit);
  if (AMBIGUOUS.test(digits)) return ambiguous(digits);
  const value = numberOfDigits(digits);
  return value === null ? notANumber() : understood(value);
}

function numberOfDigits(digits: string): number | null {
  if (PLAIN.test(digits)) return Number(digits.replace(',', '.'));
  if (GROUPED_BY_COMMA.test(digits)) return Number(digits.replaceAll(',', ''));
  if (GROUPED_BY_POINT.test(digits)) return Number(digits.replaceAll('.', '').replace(',', '.'));
  if (GROUPED_BY_SPACE.test(digits)) return Number(digits.replace(/[ '’]/g, '').replace(',', '.'));
  return null;
}

function ambiguous(digits: string): Reading<never> {
  const together = digits.replace(/[.,]/, '');
  const parted = digits
    .replace(',', '.')
    .replace(/(\.\d*?)0+$/, '$1')
    .replace(/\.$/, '');
  return refused(
    'ambiguous-number',
    `This can be read as ${together} or as ${parted}.`,
    `Write ${together} or ${parted}, as a number and not as text.`,
  );
}

const notANumber = () =>
  refused('not-a-number', 'A number is needed here.', 'Write a number, or leave the cell blank.');

function wrongSuffix(suffix: string, unit: string | null): Reading<never> {
  return unit === null || /^\d|[.,]\d/.test(suffix)
    ? notANumber()
    : refused('wrong-unit', `This column is in ${unit}, not in "${suffix}".`, `Convert it and write it in ${unit}.`);
}
