import { requireThat } from '../errors.js';

declare const calendarDayBrand: unique symbol;

/**
 * A day on the farm's wall calendar, written `YYYY-MM-DD` (ISO 8601). It is not a moment: it has no clock time and no
 * zone, so it never shifts by a day when it crosses a machine boundary. Days compare correctly as strings.
 */
export type CalendarDay = string & { readonly [calendarDayBrand]: true };

/** ISO 8601 weekday: 1 is Monday, 7 is Sunday. */
export type IsoWeekday = 1 | 2 | 3 | 4 | 5 | 6 | 7;

/** A week as ISO 8601 counts it: week 1 holds the year's first Thursday, so the week's year can differ from the day's. */
export interface IsoWeek {
  readonly year: number;
  readonly week: number;
}

const MS_PER_DAY = 86_400_000;
const DAY_PATTERN = /^(\d{4})-(\d{2})-(\d{2})$/;

/**
 * Days since 1970-01-01 in the proleptic Gregorian calendar. The only use of Date here is as UTC arithmetic on numbers.
 */
export function dayNumber(day: CalendarDay): number {
  return Math.round(
    Date.UTC(Number(day.slice(0, 4)), Number(day.slice(5, 7)) - 1, Number(day.slice(8, 10))) / MS_PER_DAY,
  );
}

/** Writing a day is dear and a plan writes the days of its horizon by the ten thousand; so many cover a century. */
const MOST_DAYS = 40_000;
const writtenDays = new Map<number, CalendarDay>();

/** The day a given number of days after 1970-01-01. Inverse of {@link dayNumber}. */
export function dayFromNumber(number: number): CalendarDay {
  const known = writtenDays.get(number);
  if (known !== undefined) return known;
  requireThat(Number.isInteger(number), 'day-number-not-whole', `A day number must be whole, not ${number}.`);
  const day = new Date(number * MS_PER_DAY).toISOString().slice(0, 10) as CalendarDay;
  if (writtenDays.size < MOST_DAYS) writtenDays.set(number, day);
  return day;
}

/** Whether the text is a day that exists, years 1900 to 2999. `2026-02-30` is not. */
export function isCalendarDay(text: string): text is CalendarDay {
  const match = DAY_PATTERN.exec(text);
  if (!match) return false;
  const year = Number(match[1]);
  return year >= 1900 && year <= 2999 && dayFromNumber(dayNumber(text as CalendarDay)) === text;
}

/**
 * Reads a day.
 * @throws DomainError `not-a-day` when the text is not `YYYY-MM-DD` or the day does not exist.
 * @example calendarDay('2026-11-25')
 */
export function calendarDay(text: string): CalendarDay {
  requireThat(isCalendarDay(text), 'not-a-day', `"${text}" is not a day that exists, written YYYY-MM-DD.`, {
    value: text,
  });
  return text;
}

/** The day `days` later (earlier when negative). `addDays(calendarDay('2026-12-31'), 1)` is 2027-01-01. */
export function addDays(day: CalendarDay, days: number): CalendarDay {
  return dayFromNumber(dayNumber(day) + days);
}

/** Whole days from `from` to `to`, negative when `to` is earlier. */
export function daysBetween(from: CalendarDay, to: CalendarDay): number {
  return dayNumber(to) - dayNumber(from);
}

/** Every day from one to another, both among them; none when `until` is the earlier. */
export function daysFromTo(from: CalendarDay, until: CalendarDay): CalendarDay[] {
  return Array.from({ length: Math.max(0, daysBetween(from, until) + 1) }, (_, at) => addDays(from, at));
}

/** ISO weekday of a day: 1970-01-01 was a Thursday (4). */
export function isoWeekday(day: CalendarDay): IsoWeekday {
  return (((((dayNumber(day) + 3) % 7) + 7) % 7) + 1) as IsoWeekday;
}

/**
 * ISO 8601 week of a day: the week belongs to the year that holds its Thursday.
 * @example isoWeek(calendarDay('2027-01-03')) // { year: 2026, week: 53 }
 */
export function isoWeek(day: CalendarDay): IsoWeek {
  const thursday = addDays(day, 4 - isoWeekday(day));
  const year = Number(thursday.slice(0, 4));
  const firstDay = `${thursday.slice(0, 4)}-01-01` as CalendarDay;
  return { year, week: Math.floor(daysBetween(firstDay, thursday) / 7) + 1 };
}

/** Monday of the ISO week the day lies in. */
export function mondayOf(day: CalendarDay): CalendarDay {
  return addDays(day, 1 - isoWeekday(day));
}

/** `2026-W48`, the ISO 8601 form. */
export function formatIsoWeek({ year, week }: IsoWeek): string {
  return `${year}-W${String(week).padStart(2, '0')}`;
}

/**
 * The farm's calendar day at a moment, in an IANA time zone.
 * @param epochMs milliseconds since 1970-01-01T00:00Z; the caller owns the clock.
 * @throws DomainError `unknown-time-zone` when the zone is not an IANA name this machine knows.
 */
export function calendarDayAt(epochMs: number, timeZone: string): CalendarDay {
  const format = dayFormat(timeZone);
  requireThat(format !== null, 'unknown-time-zone', `"${timeZone}" is not a known IANA time zone.`, {
    value: timeZone,
  });
  return calendarDay(format.format(epochMs));
}

/** Whether the name is an IANA time zone such as `Europe/Berlin`. */
export function isTimeZone(name: string): boolean {
  return dayFormat(name) !== null;
}

/** Making one is dear and every entry asks for its farm's. There are some six hundred zones, but more ways to write them. */
const MOST_FORMATS = 1000;
const dayFormats = new Map<string, Intl.DateTimeFormat>();

/** Writes the day of a moment as YYYY-MM-DD; null for a zone this machine does not know. */
function dayFormat(timeZone: string): Intl.DateTimeFormat | null {
  const known = dayFormats.get(timeZone);
  if (known) return known;
  const format = madeFormat(timeZone);
  if (format && dayFormats.size < MOST_FORMATS) dayFormats.set(timeZone, format);
  return format;
}

function madeFormat(timeZone: string): Intl.DateTimeFormat | null {
  if (timeZone.length === 0) return null;
  try {
    return new Intl.DateTimeFormat('en-CA', { timeZone, year: 'numeric', month: '2-digit', day: '2-digit' });
  } catch {
    return null;
  }
}

/** Whether the text is an ISO 8601 week that exists: `2025-W53` is not. */
export function isIsoWeek(text: string): boolean {
  return mondayOfWeekText(text) !== null;
}

/**
 * Monday of a week written in the ISO 8601 form.
 * @throws DomainError `not-a-week` when the text is no such week, or the year has no week of that number.
 * @example dayOfIsoWeek('2026-W48') // 2026-11-23
 */
export function dayOfIsoWeek(text: string): CalendarDay {
  const monday = mondayOfWeekText(text);
  requireThat(monday !== null, 'not-a-week', `"${text}" is not an ISO 8601 week that exists, such as 2026-W48.`, {
    value: text,
  });
  return monday;
}

function mondayOfWeekText(text: string): CalendarDay | null {
  const match = /^(\d{4})-W(\d{2})$/.exec(text);
  // 4 January always lies in week 1.
  const fourth = `${match?.[1] ?? ''}-01-04`;
  if (!isCalendarDay(fourth)) return null;
  const monday = addDays(mondayOf(fourth), 7 * (Number(match?.[2]) - 1));
  return formatIsoWeek(isoWeek(monday)) === text ? monday : null;
}
