import { addDays } from '../calendar/calendar-day.js';
import type { PlannedStart } from '../planning/plan.js';
import { DEFAULT_COST_PER_CONTAINER_CHANGED, type FarmSituation, type StandingStart } from '../planning/situation.js';

type Started = Pick<PlannedStart, 'benchDay' | 'strainId' | 'generation' | 'sizeId' | 'containers'>;

/** What it costs to start otherwise than stands: every container more or fewer, up to the last day on which any stands. */
export function changesCost(
  { asOf, horizonDays, strains, standing = [], costs }: FarmSituation,
  starts: readonly Started[],
): number {
  const end = addDays(asOf, horizonDays);
  const ahead = standing.filter(({ benchDay }) => benchDay >= asOf && benchDay <= end);
  const until =
    ahead
      .map(({ benchDay }): string => benchDay)
      .sort()
      .at(-1) ?? '';
  const known = new Set(strains.map(({ id }) => id));
  const counts = new Map<string, number>();
  const add = (start: Started | StandingStart, sign: 1 | -1) => {
    const key = [start.benchDay, start.strainId, start.generation, start.sizeId].join('|');
    counts.set(key, (counts.get(key) ?? 0) + sign * start.containers);
  };
  for (const start of ahead) if (known.has(start.strainId)) add(start, -1);
  for (const start of starts) if (start.benchDay <= until) add(start, 1);
  const changed = [...counts.values()].reduce((sum, count) => sum + Math.abs(count), 0);
  return changed * (costs.perContainerChanged ?? DEFAULT_COST_PER_CONTAINER_CHANGED);
}
