import { type CalendarDay, calendarDay, dayFromNumber, dayNumber, isCalendarDay } from '../../calendar/calendar-day.js';

/** In which order a file writes day, month and year where they are all numbers. */
export type DayOrder = 'day-month-year' | 'month-day-year' | 'year-month-day';
export const dayOrders: readonly DayOrder[] = ['day-month-year', 'month-day-year', 'year-month-day'];

/** A day written as text: the one day it is, or what it would be in each order; null where it is none that way. */
export type DayReadings =
  | { readonly certain: CalendarDay }
  | { readonly certain: null; readonly byOrder: Readonly<Record<DayOrder, CalendarDay | null>> };

/** Day zero of the two ways spreadsheets count days (ECMA-376 part 1, 18.17.4.1), for days after February 1900. */
export type DayCount = '1900' | '1904';
const DAY_ZERO: Readonly<Record<DayCount, number>> = {
  '1900': dayNumber(calendarDay('1900-01-01')) - 2,
  '1904': dayNumber(calendarDay('1904-01-01')),
};
/** 1970 to 2099 in either count: what lies outside is a plain number and no farm's day. */
const LEAST_COUNT = 24_000;
const MOST_COUNT = 73_050;

/** Names of the months as farms write them, whole or by their first three or four letters. */
const MONTHS: readonly (readonly string[])[] = [
  ['january', 'januar', 'jänner', 'janvier', 'enero', 'gennaio'],
  ['february', 'februar', 'feber', 'février', 'fevrier', 'febrero', 'febbraio'],
  ['march', 'märz', 'maerz', 'mrz', 'mars', 'marzo'],
  ['april', 'avril', 'abril', 'aprile'],
  ['may', 'mai', 'mayo', 'maggio'],
  ['june', 'juni', 'juin', 'junio', 'giugno'],
  ['july', 'juli', 'juillet', 'julio', 'luglio'],
  ['august', 'août', 'aout', 'agosto'],
  ['september', 'sept', 'septembre', 'septiembre', 'settembre'],
  ['october', 'oktober', 'octobre', 'octubre', 'ottobre'],
  ['november', 'novembre', 'noviembre'],
  ['december', 'dezember', 'décembre', 'decembre', 'diciembre', 'dicembre'],
];

const YEAR_FIRST = /^(\d{4})[-/. ](\d{1,2})[-/. ](\d{1,2})$/;
const PACKED = /^(20\d{2})(\d{2})(\d{2})$/;
const THREE_NUMBERS = /^(\d{1,2})[-/. ]+(\d{1,2})[-/. ]+(\d{4}|\d{2})$/;
const DAY_NAME_YEAR = /^(\d{1,2})(?:st|nd|rd|th)?[-./ ]+(\p{L}+)[-.,/ ]+(\d{4}|\d{2})$/u;
const NAME_DAY_YEAR = /^(\p{L}+)[-./ ]+(\d{1,2})(?:st|nd|rd|th)?[-.,/ ]+(\d{4})$/u;
const YEAR_NAME_DAY = /^(\d{4})[-./ ]+(\p{L}+)[-./ ]+(\d{1,2})$/u;
const WEEKDAY_BEFORE = /^\p{L}{2,10}[.,]+\s*(?=\d)/u;
const TIME_BEHIND = /[T ,]+\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?( ?[ap]\.?m\.?)?Z?$/i;

/**
 * Reads a day written as text. A year of four digits in front, or the name of a month, leaves one reading; numbers alone
 * leave up to three, and years of two digits are those from 2000 on in each of them.
 * @returns null when the text is no day in any way
 */
export function dayReadings(text: string): DayReadings | null {
  const plain = text.trim().replace(TIME_BEHIND, '').replace(WEEKDAY_BEFORE, '').trim();
  const first = YEAR_FIRST.exec(plain) ?? PACKED.exec(plain);
  if (first) return certain(dayOf(first[1], first[2], first[3]));
  const named = NAME_DAY_YEAR.exec(plain);
  if (named) return certain(dayOf(named[3], monthOf(named[1]), named[2]));
  const inside = YEAR_NAME_DAY.exec(plain);
  if (inside) return certain(dayOf(inside[1], monthOf(inside[2]), inside[3]));
  const dayName = DAY_NAME_YEAR.exec(plain);
  if (dayName) return withMonthName(dayName[1], monthOf(dayName[2]), dayName[3]);
  const numbers = THREE_NUMBERS.exec(plain);
  return numbers ? threeNumbers(numbers[1]!, numbers[2]!, numbers[3]!) : null;
}

/** The days a reading can be, each once. */
export function possibleDays(readings: DayReadings): readonly CalendarDay[] {
  if (readings.certain !== null) return [readings.certain];
  return [...new Set(Object.values(readings.byOrder))].filter((day) => day !== null);
}

/** The day a plain number stands for in a spreadsheet's count of days; null for one no farm would write. */
export function dayOfCount(count: number, from: DayCount): CalendarDay | null {
  const whole = Math.floor(count);
  return whole < LEAST_COUNT || whole > MOST_COUNT ? null : dayFromNumber(DAY_ZERO[from] + whole);
}

function threeNumbers(a: string, b: string, c: string): DayReadings | null {
  const year = c.length === 2 ? `20${c}` : c;
  return ordered({
    'day-month-year': dayOf(year, b, a),
    'month-day-year': dayOf(year, a, b),
    'year-month-day': c.length === 2 ? dayOf(`20${a.padStart(2, '0')}`, b, c) : null,
  });
}

/** `5 Nov 26`: with a month's name only the year of two digits can be meant otherwise. */
function withMonthName(a = '', month: string | undefined, c = ''): DayReadings | null {
  if (c.length === 4) return certain(dayOf(c, month, a));
  return ordered({
    'day-month-year': dayOf(`20${c}`, month, a),
    'month-day-year': null,
    'year-month-day': dayOf(`20${a.padStart(2, '0')}`, month, c),
  });
}

function ordered(byOrder: Record<DayOrder, CalendarDay | null>): DayReadings | null {
  return Object.values(byOrder).some((day) => day !== null) ? { certain: null, byOrder } : null;
}

const certain = (day: CalendarDay | null): DayReadings | null => (day === null ? null : { certain: day });

function monthOf(name = ''): string | undefined {
  const key = name.toLowerCase();
  if (key.length < 3) return undefined;
  const short = key.length <= 4;
  const at = MONTHS.findIndex((names) => names.some((full) => full === key || (short && full.startsWith(key))));
  return at < 0 ? undefined : String(at + 1);
}

function dayOf(year = '', month = '', day = ''): CalendarDay | null {
  const text = `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`;
  return isCalendarDay(text) ? text : null;
}
