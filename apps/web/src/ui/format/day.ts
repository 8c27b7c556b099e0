import {
  addDays,
  type CalendarDay,
  calendarDay,
  dayNumber,
  daysBetween,
  formatIsoWeek,
  isoWeek,
  mondayOf,
} from '@jarfold/domain';
import { locale, t } from '../../messages/translate.js';

const MS_PER_DAY = 86_400_000;

// A calendar day has no zone. It is shown by placing it at midnight UTC and formatting in UTC, so it never shifts.
const short = new Intl.DateTimeFormat(locale, { weekday: 'short', day: 'numeric', month: 'short', timeZone: 'UTC' });
const long = new Intl.DateTimeFormat(locale, {
  weekday: 'long',
  day: 'numeric',
  month: 'long',
  year: 'numeric',
  timeZone: 'UTC',
});
const withoutWeekday = new Intl.DateTimeFormat(locale, { day: 'numeric', month: 'short', timeZone: 'UTC' });
const weekday = new Intl.DateTimeFormat(locale, { weekday: 'long', timeZone: 'UTC' });

/** `Tue, 1 Dec`. */
export const formatDay = (day: CalendarDay): string => short.format(dayNumber(day) * MS_PER_DAY);

/** `Tuesday 1 December 2026`. */
export const formatLongDay = (day: CalendarDay): string => long.format(dayNumber(day) * MS_PER_DAY);

/** `1 Dec`. */
export const formatDayAndMonth = (day: CalendarDay): string => withoutWeekday.format(dayNumber(day) * MS_PER_DAY);

const A_MONDAY = dayNumber(calendarDay('2026-11-23'));

/** `Tuesday`, of an ISO weekday: 1 is Monday. */
export const formatWeekday = (isoWeekday: number): string => weekday.format((A_MONDAY + isoWeekday - 1) * MS_PER_DAY);

/** `2026-W49`, the ISO 8601 week. */
export const formatWeekOf = (day: CalendarDay): string => formatIsoWeek(isoWeek(day));

/** `30 Nov to 6 Dec`: Monday to Sunday of the day's ISO week. */
export function formatWeekSpan(day: CalendarDay): string {
  const monday = mondayOf(day);
  return t('format.span', { from: formatDayAndMonth(monday), to: formatDayAndMonth(addDays(monday, 6)) });
}

/** `today`, `in 3 days`, `2 days ago`: how far a day lies from another. */
export function formatDistance(from: CalendarDay, to: CalendarDay): string {
  const days = daysBetween(from, to);
  if (days === 0) return t('format.today');
  return days > 0 ? t('format.inDays', { days }) : t('format.daysAgo', { days: -days });
}

const moment = new Intl.DateTimeFormat(locale, { dateStyle: 'medium', timeStyle: 'short' });

/** A moment on the clock of the reader's device: `25 Nov 2026, 14:05`. */
export const formatMoment = (instant: string): string => moment.format(new Date(instant));
