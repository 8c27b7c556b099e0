import type { CalendarDay } from '../calendar/calendar-day.js';
import type { SpawnPlan } from '../planning/plan.js';

/** What a plan does with a container first: puts it into a run, inoculates with it, or nothing. */
export type PlannedFate =
  | { readonly kind: 'run'; readonly day: CalendarDay; readonly run: string }
  | { readonly kind: 'mother'; readonly day: CalendarDay; readonly run: null }
  | { readonly kind: 'none'; readonly day: null; readonly run: null };

/** Containers that expire within so many days or have expired, the oldest first. */
export function expiringWithin<Container extends { readonly daysLeft: number | null; readonly code: string }>(
  containers: readonly Container[],
  days: number,
): Container[] {
  return containers
    .filter(({ daysLeft }) => daysLeft !== null && daysLeft <= days)
    .sort((left, right) => left.daysLeft! - right.daysLeft! || (left.code < right.code ? -1 : 1));
}

/** What a plan does with the container of a code, and when first; a run counts before mothering. */
export function plannedFateOf(plan: Pick<SpawnPlan, 'uses'>, code: string): PlannedFate {
  const uses = plan.uses.filter(({ from }) => from === code).sort((one, other) => (one.day < other.day ? -1 : 1));
  for (const { to, day } of uses) if (to.kind === 'run') return { kind: 'run', day, run: to.run };
  const [first] = uses;
  return first ? { kind: 'mother', day: first.day, run: null } : { kind: 'none', day: null, run: null };
}

/** Containers and grams of several rows together. */
export function stockTotals(rows: readonly { readonly count: number; readonly grams: number }[]): {
  count: number;
  grams: number;
} {
  return rows.reduce((sum, row) => ({ count: sum.count + row.count, grams: sum.grams + row.grams }), {
    count: 0,
    grams: 0,
  });
}
