import { addDays, type CalendarDay, daysFromTo, type IsoWeekday, isoWeekday } from './calendar-day.js';

/** The bench days from a day on, for so many days: of a bench weekday and not closed. */
export function benchDaysFrom(
  rhythm: { readonly benchWeekdays: readonly IsoWeekday[]; readonly closedDays: readonly CalendarDay[] },
  from: CalendarDay,
  days: number,
): CalendarDay[] {
  const closed = new Set<string>(rhythm.closedDays);
  return daysFromTo(from, addDays(from, days)).filter(
    (day) => rhythm.benchWeekdays.includes(isoWeekday(day)) && !closed.has(day),
  );
}
