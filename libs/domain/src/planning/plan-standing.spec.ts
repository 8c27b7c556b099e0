import { describe, expect, it } from '@jest/globals';
import { kitchen, stockJar } from '../../../../tests/reference/planning-kitchen.js';
import { calendarDay } from '../calendar/calendar-day.js';
import { checkPlan } from './check-plan.js';
import type { SpawnPlan } from './plan.js';
import { boundBelowPlans, planSpawn } from './plan-spawn.js';
import type { FarmSituation, StandingStart } from './situation.js';

const PROVE = { exact: 'always', guardMs: 60_000 } as const;
const base = kitchen();
const run = base.runs[0]!;
const farm = kitchen({
  stock: [stockJar({ code: 'M-1' }), stockJar({ code: 'M-2' })],
  runs: [run, { ...run, id: 'run-2', day: calendarDay('2027-01-02'), minGrams: 700, targetGrams: 900 }],
});
const held: StandingStart = {
  benchDay: calendarDay('2026-11-28'),
  strainId: 'oyster',
  generation: 2,
  sizeId: 'jar',
  containers: 4,
  hold: 'pinned',
};

async function checked(situation: FarmSituation, options: Parameters<typeof planSpawn>[1] = {}): Promise<SpawnPlan> {
  const plan = await planSpawn(situation, options);
  expect(checkPlan(situation, plan).faults).toEqual([]);
  return plan;
}

function standingOf(plan: SpawnPlan, hold: StandingStart['hold']): StandingStart[] {
  return plan.starts.map(({ benchDay, strainId, generation, sizeId, containers }) => ({
    benchDay,
    strainId,
    generation,
    sizeId,
    containers,
    hold,
  }));
}

function counts(plan: SpawnPlan): [string, number][] {
  return plan.starts.map((start) => [start.id, start.containers]);
}

describe('planning with an accepted plan', () => {
  it.each([
    ['searched', { exact: 'never' }],
    ['proven', PROVE],
  ] as const)('changes no start without new facts when the plan is %s', async (_, options) => {
    const plan = await checked(farm, options);
    const again = await checked({ ...farm, standing: standingOf(plan, 'accepted') }, options);
    expect(counts(again)).toEqual(counts(plan));
    expect(again.costParts.changes).toBe(0);
    expect(again.cost).toBeCloseTo(plan.cost, 3);
  });

  it('keeps an accepted start that is a little dearer than another, and gives it up when changes cost nothing', async () => {
    const early: StandingStart = { ...held, benchDay: calendarDay('2026-11-28'), containers: 3, hold: 'accepted' };
    const one = kitchen({ standing: [early] });
    const kept = await checked(one, PROVE);
    expect(kept.starts).toMatchObject([{ benchDay: '2026-11-28', containers: 3 }]);
    const free = await checked({ ...one, costs: { ...one.costs, perContainerChanged: 0 } }, PROVE);
    expect(free.starts).toMatchObject([{ benchDay: '2026-12-05', containers: 3 }]);
  });

  it('starts exactly what a lead has pinned, more than is of use or nothing', async () => {
    const more = await checked(kitchen({ standing: [held] }), PROVE);
    expect(more.starts).toContainEqual(expect.objectContaining({ benchDay: '2026-11-28', containers: 4 }));
    const none: StandingStart[] = ['2026-11-28', '2026-12-05'].map((day) => ({
      ...held,
      benchDay: calendarDay(day),
      containers: 0,
    }));
    const nothing = await checked(kitchen({ standing: none }), PROVE);
    expect(nothing.starts.filter((start) => start.generation === 2 && start.benchDay <= '2026-12-05')).toEqual([]);
  });

  it('starts what is prepared without a cycle or a clean jar, on a day whose preparation has passed', async () => {
    const prepared: StandingStart = { ...held, hold: 'prepared' };
    const today = { asOf: calendarDay('2026-11-28'), sizes: [{ ...base.sizes[0]!, cleanEmpty: 0 }] };
    const plan = await checked(kitchen({ ...today, standing: [prepared] }), PROVE);
    expect(plan.starts).toMatchObject([{ benchDay: '2026-11-28', containers: 4 }]);
    expect(plan.preparations).toEqual([]);
    expect(plan.costParts.cycles).toBe(0);
  });

  it('names a held start that nothing can inoculate, and plans the rest', async () => {
    const plan = await checked(kitchen({ stock: [], standing: [held] }));
    expect(plan.impossible).toContainEqual(expect.objectContaining({ code: 'held-start-not-possible' }));
    expect(plan.starts).toEqual([]);
  });

  it('starts nothing but what stands when it is asked to', async () => {
    const plan = await checked({ ...farm, standing: [{ ...held, hold: 'accepted' }] }, { onlyStanding: true });
    expect(plan.starts).toMatchObject([{ benchDay: '2026-11-28', containers: 4 }]);
    expect(plan.runs.map((each) => each.coveredGrams)).not.toEqual([0, 0]);
  });

  it('has the same bound below it when no plan is looked for', async () => {
    const farm = kitchen({ standing: [held] });
    const plan = await planSpawn(farm, { exact: 'never' });
    expect(plan.bound).toBeGreaterThan(0);
    expect(await boundBelowPlans(farm)).toBeCloseTo(plan.bound, 6);
  });

  it('refuses a standing start with a number that has no meaning', async () => {
    const broken = kitchen({ standing: [{ ...held, containers: -1 }] });
    await expect(planSpawn(broken)).rejects.toMatchObject({ code: 'situation-not-valid' });
  });
});

describe('planning for today', () => {
  it('does not draw for a run today what would have to be warmed up since yesterday', async () => {
    const chilled = stockJar({ code: 'C-1', state: 'chilled', chilledOn: calendarDay('2026-11-20') });
    const today = { ...run, day: calendarDay('2026-11-25'), minGrams: 400, targetGrams: 500, maxGrams: 500 };
    const plan = await checked(kitchen({ stock: [chilled], runs: [today] }));
    expect(plan.runs[0]?.coveredGrams).toBe(0);
    const tomorrow = { ...today, day: calendarDay('2026-11-26') };
    expect((await checked(kitchen({ stock: [chilled], runs: [tomorrow] }))).runs[0]?.coveredGrams).toBe(500);
  });
});
