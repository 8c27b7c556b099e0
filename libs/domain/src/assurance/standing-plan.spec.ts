import { describe, expect, it } from '@jest/globals';
import { addDays } from '../calendar/calendar-day.js';
import type { PlannedStart } from '../planning/plan.js';
import type { FarmSituation } from '../planning/situation.js';
import { familyFarm, farmFamily } from '../season/farm-family.js';
import { SeasonWorld } from '../season/world/season-world.js';
import { StandingWeights } from './changes-cost.js';
import { planWithAssurance } from './plan-with-assurance.js';

const farm = familyFarm(farmFamily.find(({ name }) => name === 'small-lossy')!, 4, 12);
const { seen } = new SeasonWorld(farm, 4).morning(0, 42);
const QUICK = { exact: 'never', evaluations: 600, trials: 300, draws: 200 } as const;
const accepted = (starts: readonly PlannedStart[]) => starts.map((start) => ({ ...start, hold: 'accepted' as const }));
const week = (situation: FarmSituation, starts: readonly PlannedStart[]) =>
  starts.filter(({ benchDay }) => benchDay < addDays(situation.asOf, 7)).map(({ id, containers }) => [id, containers]);

describe('a plan that stands', () => {
  it('once settled stays: from the same facts the week’s starts are the same again, jars that only chance asks for too', async () => {
    const once = await planWithAssurance(seen, farm.believed, QUICK);
    const settled = await planWithAssurance({ ...seen, standing: accepted(once.starts) }, farm.believed, QUICK);
    const again = await planWithAssurance({ ...seen, standing: accepted(settled.starts) }, farm.believed, QUICK);
    expect(week(seen, settled.starts).length).toBeGreaterThan(0);
    expect(week(seen, again.starts)).toEqual(week(seen, settled.starts));
  });

  it('pays for its changes what the farm says they cost, whatever they weighed', async () => {
    const once = await planWithAssurance(seen, farm.believed, QUICK);
    const gone = accepted(once.starts).map((start, place) => (place === 0 ? { ...start, containers: 40 } : start));
    const costs = { ...seen.costs, perContainerChanged: 0.2 };
    const { costParts, starts, cost } = await planWithAssurance(
      { ...seen, costs, standing: gone },
      farm.believed,
      QUICK,
    );
    const left = new Map(gone.map(({ id, containers }) => [id, containers]));
    const last = gone
      .map(({ benchDay }) => benchDay)
      .sort()
      .at(-1)!;
    let changed = 0;
    for (const { id, containers, benchDay } of starts) {
      if (benchDay > last) continue;
      changed += Math.abs(containers - (left.get(id) ?? 0));
      left.delete(id);
    }
    for (const containers of left.values()) changed += containers;
    expect(changed).toBeGreaterThan(0);
    expect(costParts.changes).toBeCloseTo(0.2 * changed, 6);
    expect(Object.values(costParts).reduce((sum, part) => sum + part, 0)).toBeCloseTo(cost, 4);
  });

  it('weighs a change within the week more, and none after the last day that stands', () => {
    const day = (ahead: number) => addDays(seen.asOf, ahead);
    const start = { strainId: 'strain-1', generation: 2, sizeId: 'jar', containers: 3, hold: 'accepted' } as const;
    const weights = new StandingWeights({ ...seen, standing: [{ ...start, benchDay: day(20) }] });
    expect(weights.perContainerOn(day(3))).toBeGreaterThan(weights.perContainerOn(day(10)));
    expect(weights.perContainerOn(day(10))).toBeGreaterThan(0);
    expect(weights.perContainerOn(day(21))).toBe(0);
  });
});
