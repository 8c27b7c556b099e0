import type { SpawnPlan } from '../planning/plan.js';

/** What a plan does with a container: puts it into a run, inoculates with it, or nothing. */
export type PlannedUseKind = 'run' | 'mother' | 'none';

/** Containers that expire within so many days or have expired, the oldest first. */
export function expiringWithin<Container extends { readonly daysLeft: number | null; readonly code: string }>(
  containers: readonly Container[],
  days: number,
): Container[] {
  return containers
    .filter(({ daysLeft }) => daysLeft !== null && daysLeft <= days)
    .sort((left, right) => left.daysLeft! - right.daysLeft! || (left.code < right.code ? -1 : 1));
}

/** What a plan does with the container of a code; a run counts before mothering. */
export function plannedUseOf(plan: Pick<SpawnPlan, 'uses'>, code: string): PlannedUseKind {
  const uses = plan.uses.filter((use) => use.from === code);
  if (uses.some(({ to }) => to.kind === 'run')) return 'run';
  return uses.length > 0 ? 'mother' : 'none';
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
