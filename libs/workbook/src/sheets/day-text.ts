import { type CalendarDay, dayReadings, possibleDays } from '@jarfold/domain';
import { type Reading, refused, understood } from './column.js';
import { nearestName } from './nearest-name.js';

const MONTHS = [
  'january',
  'february',
  'march',
  'april',
  'may',
  'june',
  'july',
  'august',
  'september',
  'october',
  'november',
  'december',
];
const TWO_DIGIT_YEAR = /^\d{1,2}[-/.]\d{1,2}[-/.]\d{2}$/;
const THREE_NUMBERS = /^\d{1,4}[-/. ]\d{1,2}[-/. ]\d{1,4}(?:[T ][\d:.]+Z?)?$/;
/** A word beside the digits of a day and a year: a month's name, or what was meant as one. */
const MONTH_NAME = /^(?:\d{1,2}(?:st|nd|rd|th)?[-. ]+)?([a-z]+)[-., ]+(?:\d{1,2}(?:st|nd|rd|th)?[, ]+)?\d{4}$/i;

const WRITE_IT = 'Enter it as a date, or write it as YYYY-MM-DD.';

/**
 * Reads a day written as text. Year first is one day (ISO 8601); day and month as numbers with the year last are read
 * only when one of the two orders is no day at all.
 */
export function dayFromText(text: string): Reading<CalendarDay> {
  if (TWO_DIGIT_YEAR.test(text)) {
    return refused('ambiguous-day', 'A year of two digits can be read in several ways.', WRITE_IT);
  }
  const readings = dayReadings(text);
  if (readings === null) return noDay(text);
  const [day, ...others] = possibleDays(readings);
  if (day !== undefined && others.length === 0) return understood(day);
  return refused('ambiguous-day', `This can be read as ${[day, ...others].join(' or as ')}.`, WRITE_IT);
}

function noDay(text: string): Reading<never> {
  const name = MONTH_NAME.exec(text)?.[1]?.toLowerCase();
  if (name !== undefined && !MONTHS.some((month) => month.startsWith(name))) {
    const near = nearestName(name, MONTHS);
    return refused('not-a-day', `"${name}" is no month.`, near ? `Did you mean ${near}? ${WRITE_IT}` : WRITE_IT);
  }
  if (name !== undefined || THREE_NUMBERS.test(text)) {
    return refused('impossible-day', 'This day does not exist.', 'Check day, month and year.');
  }
  return refused('not-a-day', 'A day is needed here.', WRITE_IT);
}
