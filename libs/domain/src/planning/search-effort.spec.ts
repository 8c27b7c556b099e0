import { describe, expect, it } from '@jest/globals';
import { kitchen, stockJar } from '../../../../tests/reference/planning-kitchen.js';
import { addDays } from '../calendar/calendar-day.js';
import { checkPlan } from './check-plan.js';
import { highsSolver } from './highs-solver.js';
import { planSpawn } from './plan-spawn.js';
import { budgetsOf, evaluationsFor, thoroughEffort } from './search-effort.js';
import type { FarmSituation } from './situation.js';
import type { LinearSolver } from './solver-port.js';

/** Two strains that share one pot, and runs every few days: more than a search sees through at once. */
function busyFarm(): FarmSituation {
  const one = kitchen();
  const [strain] = one.strains;
  const strains = ['oyster', 'lions-mane'].map((id) => ({ ...strain!, id, motherReserve: 1 }));
  const stock = strains.flatMap(({ id }) =>
    ['1', '2'].map((place) => stockJar({ code: `${id}-${place}`, strainId: id, gramsLeft: 500 })),
  );
  const runs = Array.from({ length: 16 }, (_, place) => {
    const targetGrams = 900 + ((place * 370) % 1500);
    return {
      ...one.runs[0]!,
      id: `run-${place}`,
      day: addDays(one.asOf, 18 + place * 4),
      strainIds: [strains[place % 2]!.id],
      minGrams: 0.8 * targetGrams,
      targetGrams,
      maxGrams: 1.2 * targetGrams,
    };
  });
  const rhythm = { ...one.rhythm, benchWeekdays: [3, 6] as const };
  return { ...one, horizonDays: 84, rhythm, strains, stock, runs };
}

describe('search effort', () => {
  it('compares fewer hand-outs where one takes longer, and never endlessly many', () => {
    expect(evaluationsFor(156)).toBe(Math.round(evaluationsFor(78) / 2));
    expect(evaluationsFor(1)).toBe(evaluationsFor(2));
    expect(thoroughEffort(78).evaluations).toBeGreaterThan(10 * evaluationsFor(78));
  });

  it('goes on only where a hand-out is quick, and spends what is asked beyond that on a second search', () => {
    const usual = evaluationsFor(30);
    expect(budgetsOf(undefined, 30, 30)).toEqual({ waited: { usual, most: 8 * usual }, more: null });
    expect(budgetsOf(undefined, 30, 118)).toEqual({ waited: { usual, most: usual }, more: null });
    expect(budgetsOf(500, 30, 30)).toEqual({ waited: { usual: 500, most: 500 }, more: null });
    expect(budgetsOf(10 * usual, 30, 30)).toEqual({
      waited: { usual, most: 8 * usual },
      more: { usual: 2 * usual, most: 2 * usual },
    });
  });

  it('finds a cheaper plan the longer it looks, each within all limits', async () => {
    const farm = busyFarm();
    const plans = [
      await planSpawn(farm, { exact: 'never', evaluations: 150 }),
      await planSpawn(farm, { exact: 'never', evaluations: 3_000 }),
      await planSpawn(farm, { exact: 'never', evaluations: 60_000 }),
    ];
    for (const plan of plans) expect(checkPlan(farm, plan).faults).toEqual([]);
    const [hasty, usual, patient] = plans.map((plan) => plan.cost);
    expect(usual).toBeLessThan(hasty!);
    expect(patient).toBeLessThan(usual!);
    // The bound does not depend on how long the search looks.
    expect(new Set(plans.map((plan) => plan.bound.toFixed(6))).size).toBe(1);
  });

  it('keeps the plan it has when the proof begins without it and is cut short at a dearer one', async () => {
    const farm = busyFarm();
    const highs = await highsSolver();
    const hasty: LinearSolver = {
      // Says of the whole programme that the searched plan does not fit, so that nothing is there to begin from.
      relax: (programme) => {
        const session = highs.relax(programme);
        const isWhole = programme.whole.some((whole) => whole === 1);
        return isWhole ? { ...session, solve: () => ({ ...session.solve(), status: 'infeasible' }) } : session;
      },
      solveWhole: (programme, { start: _, ...limits }) => {
        // With nothing to pay for, the first plan that fits is as good as any.
        const free = { ...programme, cost: programme.cost.map(() => 0) };
        const { values, objective } = highs.solveWhole(free, limits);
        return { status: 'limit', values, objective, bound: 0 };
      },
    };
    const searched = await planSpawn(farm, { exact: 'never', evaluations: 3_000 });
    const proven = await planSpawn(farm, { exact: 'always', evaluations: 3_000, guardMs: 20_000, solver: hasty });
    expect(proven.cost).toBeCloseTo(searched.cost, 6);
    expect(proven.exact).toBe(false);
    expect(proven.bound).toBeCloseTo(searched.bound, 6);
    expect(checkPlan(farm, proven).faults).toEqual([]);
  });
});
