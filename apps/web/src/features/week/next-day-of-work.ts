import type { PlanJson } from '@jarfold/contracts';
import type { CalendarDay } from '@jarfold/domain';

/** The first day after `after` on which the plan asks for anything; null when nothing follows. */
export function nextDayOfWork(plan: PlanJson, after: CalendarDay): CalendarDay | null {
  const days: readonly CalendarDay[] = [
    ...plan.preparations.map(({ day }) => day),
    ...plan.starts.map(({ benchDay }) => benchDay),
    ...plan.moves.map(({ day }) => day),
    ...plan.uses.map(({ day }) => day),
    ...plan.cultures.map(({ orderBy }) => orderBy),
    ...plan.runs.map(({ day }) => day),
  ];
  return days.filter((day) => day > after).sort()[0] ?? null;
}
