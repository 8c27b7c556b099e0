import { addDays } from '@jarfold/domain';
import { checkPlan, planSpawn } from '@jarfold/domain/planning';
import { describe, expect, it } from '@jest/globals';
import { DAY_0, textbookFarm } from './planning-factory.js';

const PROVE = { exact: 'always', guardMs: 60_000 } as const;

/** A set-up is a steriliser cycle, a unit held is a gram of ripe spawn that waits for a day. */
describe('dynamic lot sizing as a farm', () => {
  // Wagner and Whitin, "Dynamic version of the economic lot size model", Management Science 5 (1958), table 1:
  // demand, set-up costs and holding cost 1; the published optimum is 864.
  const demand = [69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56];
  const setUpCosts = [85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114];

  it('finds the published optimum of 864 and proves it', async () => {
    const farm = textbookFarm({ demand, setUpCosts, holdingCost: 1, leadPeriods: 1 });
    const plan = await planSpawn(farm, PROVE);
    expect(plan.cost).toBeCloseTo(864, 6);
    expect(plan.exact).toBe(true);
    expect(checkPlan(farm, plan).faults).toEqual([]);
    expect(plan.runs.every((run) => run.coveredGrams === run.targetGrams)).toBe(true);
  });

  // The optimum of every shorter horizon, from the same recursion (recomputed by dynamic programming and two solvers).
  it.each([
    [2, 114],
    [4, 277],
    [6, 400],
    [8, 555],
    [10, 710],
  ])('finds the optimum of the first %i periods, %i', async (periods, optimum) => {
    const farm = textbookFarm({
      demand: demand.slice(0, periods),
      setUpCosts: setUpCosts.slice(0, periods),
      holdingCost: 1,
      leadPeriods: 1,
    });
    const plan = await planSpawn(farm, PROVE);
    expect(plan.cost).toBeCloseTo(optimum, 6);
    expect(plan.exact).toBe(true);
  });

  it.each([
    // Hillier and Lieberman, Introduction to Operations Research: the aeroplane example, in millions.
    ['Hillier and Lieberman', [3, 2, 3, 2], 2, 0.2, 4.8],
    // Nahmias, Production and Operations Analysis: the machine shop.
    ['Nahmias', [18, 30, 42, 5, 20], 80, 2, 310],
    // Nahmias' exercise; the optimum is that of the dynamic programme.
    ['Nahmias, exercise', [52, 87, 23, 56], 75, 1, 248],
  ])('finds the optimum of the example of %s', async (_, units, setUp, holdingCost, optimum) => {
    const farm = textbookFarm({ demand: units, setUpCosts: units.map(() => setUp), holdingCost, leadPeriods: 1 });
    const plan = await planSpawn(farm, PROVE);
    expect(plan.cost).toBeCloseTo(optimum, 6);
    expect(plan.exact).toBe(true);
    expect(plan.preparations.every((preparation) => preparation.day >= addDays(DAY_0, 0))).toBe(true);
  });
});
