import { addDays, type CalendarDay } from '../calendar/calendar-day.js';
import { startId } from '../planning/pegged-plan.js';
import type { PlannedStart } from '../planning/plan.js';
import { DEFAULT_COST_PER_CONTAINER_CHANGED, type FarmSituation, type StandingStart } from '../planning/situation.js';

type Started = Pick<PlannedStart, 'benchDay' | 'strainId' | 'generation' | 'sizeId' | 'containers'>;

/** What is agreed on for so many days ahead is prepared for already: a change of it weighs so many times as much. */
const NEAR_DAYS = 7;
const NEAR_TIMES = 20;

/** The starts that stand, and how much a change of one weighs where plans are compared. */
export class StandingWeights {
  private readonly situation: FarmSituation;
  private readonly until: string;
  private readonly stood: ReadonlyMap<string, number>;

  constructor(situation: FarmSituation) {
    const ahead = startsAhead(situation);
    this.situation = situation;
    this.until = lastDayOf(ahead);
    this.stood = new Map(
      ahead.map(({ benchDay, strainId, generation, sizeId, containers }) => [
        startId(benchDay, strainId, generation, sizeId),
        containers,
      ]),
    );
  }

  /** Containers that stand under a start's id. */
  containersOf(id: string): number {
    return this.stood.get(id) ?? 0;
  }

  /** Of all that is started otherwise than stands. */
  changesOf(starts: readonly Started[]): number {
    const left = new Map(this.stood);
    let sum = 0;
    for (const { benchDay, strainId, generation, sizeId, containers } of starts) {
      const id = startId(benchDay, strainId, generation, sizeId);
      sum += Math.abs(containers - this.containersOf(id)) * this.perContainerOn(benchDay);
      left.delete(id);
    }
    for (const { benchDay, strainId, generation, sizeId, containers } of startsAhead(this.situation))
      if (left.has(startId(benchDay, strainId, generation, sizeId))) sum += containers * this.perContainerOn(benchDay);
    return sum;
  }

  /** Of one container more or fewer than stands on a bench day; nothing after the last day on which any stands. */
  perContainerOn(benchDay: CalendarDay): number {
    const { asOf, costs } = this.situation;
    if (benchDay > this.until) return 0;
    const each = costs.perContainerChanged ?? DEFAULT_COST_PER_CONTAINER_CHANGED;
    return benchDay < addDays(asOf, NEAR_DAYS) ? NEAR_TIMES * each : each;
  }
}

function startsAhead({ asOf, horizonDays, standing = [] }: FarmSituation): StandingStart[] {
  const end = addDays(asOf, horizonDays);
  return standing.filter(({ benchDay }) => benchDay >= asOf && benchDay <= end);
}

function lastDayOf(starts: readonly StandingStart[]): string {
  return (
    starts
      .map(({ benchDay }): string => benchDay)
      .sort()
      .at(-1) ?? ''
  );
}

/** What it costs to start otherwise than stands: every container more or fewer, up to the last day on which any stands. */
export function changesCost(situation: FarmSituation, starts: readonly Started[]): number {
  const { strains, costs } = situation;
  const ahead = startsAhead(situation);
  const until = lastDayOf(ahead);
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
