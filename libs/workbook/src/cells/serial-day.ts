import { type CalendarDay, calendarDay, dayFromNumber, dayNumber, isCalendarDay } from '@jarfold/domain';

/** Serial 0 of the 1900 system, 31 December 1899. */
const FIRST_OF_1900_SYSTEM = dayNumber(calendarDay('1900-01-01')) - 1;
const FIRST_OF_1904_SYSTEM = dayNumber(calendarDay('1904-01-01'));
/** The 1900 system counts a 29 February 1900 that never was, as serial 60. */
const DAY_THAT_NEVER_WAS = 60;
const SECONDS_PER_DAY = 86_400;

/**
 * The day a spreadsheet's date number stands for, or null when it stands for none. A time of day is dropped; a number a
 * rounding error short of midnight counts as the next day.
 * Source: ECMA-376 part 1, 18.17.4.1 (date systems 1900 and 1904).
 * @example dayOfSerial(45000, false) // '2023-03-15'
 * @example dayOfSerial(45000, true) // '2027-03-16'
 */
export function dayOfSerial(serial: number, date1904: boolean): CalendarDay | null {
  const whole = Math.floor(Math.round(serial * SECONDS_PER_DAY) / SECONDS_PER_DAY);
  if (!Number.isFinite(whole) || whole < 0) return null;
  if (date1904) return realDay(FIRST_OF_1904_SYSTEM + whole);
  if (whole === 0 || whole === DAY_THAT_NEVER_WAS) return null;
  return realDay(FIRST_OF_1900_SYSTEM + (whole < DAY_THAT_NEVER_WAS ? whole : whole - 1));
}

/** The number a 1900-system spreadsheet keeps for a day from March 1900 on. Inverse of {@link dayOfSerial}. */
export function serialOfDay(day: CalendarDay): number {
  return dayNumber(day) - FIRST_OF_1900_SYSTEM + 1;
}

const LAST_DAY = dayNumber(calendarDay('2999-12-31'));
/** The same few hundred days stand in a farm's workbook over and over. */
const known = new Map<number, CalendarDay | null>();

function realDay(number: number): CalendarDay | null {
  if (number > LAST_DAY) return null;
  const before = known.get(number);
  if (before !== undefined) return before;
  const day = dayFromNumber(number);
  const real = isCalendarDay(day) ? day : null;
  known.set(number, real);
  return real;
}
