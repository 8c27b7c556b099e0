import { type CalendarDay, calendarDay } from '@jarfold/domain';

/** The farm's calendar day at a moment. One formatter for many moments: making one costs more than using it. */
export function farmDays(timeZone: string): (epochMs: number) => CalendarDay {
  const format = new Intl.DateTimeFormat('en-CA', { timeZone, year: 'numeric', month: '2-digit', day: '2-digit' });
  return (epochMs) => calendarDay(format.format(epochMs));
}
