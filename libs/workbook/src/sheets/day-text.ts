import { type CalendarDay, isCalendarDay } from '@jarfold/domain';
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
const YEAR_FIRST = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ][\d:.]+Z?)?$/;
const YEAR_LAST = /^(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4})$/;
const DAY_MONTH_NAME = /^(\d{1,2})(?:st|nd|rd|th)?[-. ]+([a-z]+)[-., ]+(\d{4})$/i;
const MONTH_NAME_DAY = /^([a-z]+)[. ]+(\d{1,2})(?:st|nd|rd|th)?[, ]+(\d{4})$/i;

const WRITE_IT = 'Enter it as a date, or write it as YYYY-MM-DD.';

/**
 * Reads a day written as text. Year first is one day (ISO 8601); day and month as numbers with the year last are read
 * only when one of the two orders is no day at all.
 */
export function dayFromText(text: string): Reading<CalendarDay> {
  const yearFirst = YEAR_FIRST.exec(text);
  if (yearFirst) return onlyReading(dayOf(yearFirst[1], yearFirst[2], yearFirst[3]));
  const yearLast = YEAR_LAST.exec(text);
  if (yearLast) return twoOrders(yearLast[1], yearLast[2], yearLast[3]);
  const named = DAY_MONTH_NAME.exec(text);
  if (named) return withMonthName(named[3], named[2], named[1]);
  const monthFirst = MONTH_NAME_DAY.exec(text);
  if (monthFirst) return withMonthName(monthFirst[3], monthFirst[1], monthFirst[2]);
  if (/^\d{1,2}[-/.]\d{1,2}[-/.]\d{2}$/.test(text)) {
    return refused('ambiguous-day', 'A year of two digits can be read in several ways.', WRITE_IT);
  }
  return refused('not-a-day', 'A day is needed here.', WRITE_IT);
}

function twoOrders(first = '', second = '', year = ''): Reading<CalendarDay> {
  const dayFirst = dayOf(year, second, first);
  const monthFirst = dayOf(year, first, second);
  if (dayFirst && monthFirst && dayFirst !== monthFirst) {
    return refused('ambiguous-day', `This can be read as ${dayFirst} or as ${monthFirst}.`, WRITE_IT);
  }
  return onlyReading(dayFirst ?? monthFirst);
}

function withMonthName(year: string | undefined, name = '', day: string | undefined): Reading<CalendarDay> {
  const month = MONTHS.findIndex((full) => full === name.toLowerCase() || full.slice(0, 3) === name.toLowerCase());
  if (month >= 0 || name.toLowerCase() === 'sept') {
    return onlyReading(dayOf(year, String(month >= 0 ? month + 1 : 9), day));
  }
  const near = nearestName(name, MONTHS);
  return refused('not-a-day', `"${name}" is no month.`, near ? `Did you mean ${near}? ${WRITE_IT}` : WRITE_IT);
}

function dayOf(year = '', month = '', day = ''): CalendarDay | null {
  const text = `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`;
  return isCalendarDay(text) ? text : null;
}

const onlyReading = (day: CalendarDay | null): Reading<CalendarDay> =>
  day ? understood(day) : refused('impossible-day', 'This day does not exist.', 'Check day, month and year.');
