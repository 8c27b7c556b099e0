import { isTwoNumbers, numberReadings } from '@jarfold/domain';
import { headingKey } from './clean-text.js';
import { type Reading, refused, understood } from './column.js';

/**
 * Reads a number written as text: decimal point or comma, thousands grouped by space, apostrophe, comma or point, and
 * the column's own unit behind it. What can be read two ways is refused with both readings.
 * @param text cleaned text
 * @param unit the column's unit, such as `g` or `%`
 */
export function numberFromText(text: string, unit: string | null): Reading<number> {
  const readings = numberReadings(text);
  if (readings === null) return notANumber();
  const { point, comma, behind } = readings;
  if (behind !== '' && (unit === null || headingKey(behind) !== headingKey(unit))) return wrongSuffix(behind, unit);
  if (isTwoNumbers(readings)) return ambiguous(point as number, comma as number);
  return understood((point ?? comma) as number);
}

function ambiguous(point: number, comma: number): Reading<never> {
  const [parted, together] = Math.abs(point) < Math.abs(comma) ? [point, comma] : [comma, point];
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
