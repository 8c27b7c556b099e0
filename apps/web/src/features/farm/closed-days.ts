import { addDays, type CalendarDay, daysBetween, daysFromTo, isCalendarDay } from '@jarfold/domain';

/** Days in a row on which the farm is closed; both ends belong to it. */
export interface ClosedPeriod {
  readonly firstDay: CalendarDay;
  readonly lastDay: CalendarDay;
}

/** Longer than any holiday: a year typed wrong must not close the farm for a decade. */
export const LONGEST_CLOSED_DAYS = 100;

/** Closed days as people speak of them: in a row, the soonest first. */
export function closedPeriods(days: readonly CalendarDay[]): readonly ClosedPeriod[] {
  const periods: { firstDay: CalendarDay; lastDay: CalendarDay }[] = [];
  for (const day of [...new Set(days)].sort()) {
    const before = periods.at(-1);
    if (before && addDays(before.lastDay, 1) === day) before.lastDay = day;
    else periods.push({ firstDay: day, lastDay: day });
  }
  return periods;
}

/** With the days of a period, sorted and each once. */
export function withPeriod(days: readonly CalendarDay[], period: ClosedPeriod): readonly CalendarDay[] {
  return [...new Set([...days, ...daysFromTo(period.firstDay, period.lastDay)])].sort();
}

export function withoutPeriod(
  days: readonly CalendarDay[],
  { firstDay, lastDay }: ClosedPeriod,
): readonly CalendarDay[] {
  return days.filter((day) => day < firstDay || day > lastDay);
}

/** The period two boxes hold; an empty last day means one day. Otherwise which sentence says what is wrong. */
export function readPeriod(
  first: string,
  last: string,
): ClosedPeriod | 'farm.closedNoDay' | 'farm.closedBackwards' | 'farm.closedTooLong' {
  const end = last === '' ? first : last;
  if (!isCalendarDay(first) || !isCalendarDay(end)) return 'farm.closedNoDay';
  if (end < first) return 'farm.closedBackwards';
  return daysBetween(first, end) < LONGEST_CLOSED_DAYS ? { firstDay: first, lastDay: end } : 'farm.closedTooLong';
}
