import type { CalendarDay } from '@jarfold/domain';
import { formatWeekOf, formatWeekSpan } from './format/index.js';

export interface WeekOf<T> {
  readonly week: string;
  readonly span: string;
  readonly items: readonly T[];
}

/** Things under the ISO week of their day, soonest first; those of one day stay in the order they came in. */
export function byWeek<T>(things: readonly T[], dayOf: (thing: T) => CalendarDay): readonly WeekOf<T>[] {
  const weeks = new Map<string, T[]>();
  for (const thing of [...things].sort((a, b) => dayOf(a).localeCompare(dayOf(b)))) {
    const week = formatWeekOf(dayOf(thing));
    weeks.set(week, [...(weeks.get(week) ?? []), thing]);
  }
  return [...weeks].map(([week, items]) => ({ week, span: formatWeekSpan(dayOf(items[0]!)), items }));
}
