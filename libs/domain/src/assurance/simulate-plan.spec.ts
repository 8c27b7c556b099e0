import { describe, expect, it } from '@jest/globals';
import { kitchen, stockJar } from '../../../../tests/reference/planning-kitchen.js';
import { addDays, calendarDay } from '../calendar/calendar-day.js';
import { planSpawn } from '../planning/plan-spawn.js';
import type { BulkRun, FarmSituation, StockContainer } from '../planning/situation.js';
import { type FarmChance, noChance, type StrainChance, usualChance, usualStrainChance } from './farm-chance.js';
import { Luck } from './luck.js';
import { simulatePlan } from './simulate-plan.js';

const run = kitchen().runs[0]!;
const QUICK = { exact: 'never' } as const;

const still: Partial<StrainChance> = {
  lotDeviationDays: 0,
  containerDeviationDays: 0,
  lifeDeviation: 0,
  lotCorrelation: 0,
  shared: { strain: 0, grainBatch: 0, cycle: 0, mother: 0 },
};

function chanceOf(farm: FarmSituation, changes: Partial<StrainChance>): FarmChance {
  return {
    strains: farm.strains.map((strain) => usualStrainChance(strain, { ...still, ...changes })),
    missedBenchShare: 0,
  };
}

/** Growing jars on hand and one run that wants so many of them. */
function growing(
  jars: number,
  wanted: number,
  changes: Partial<StockContainer> = {},
  day = '2026-12-05',
): FarmSituation {
  const stock = Array.from({ length: jars }, (_, place) =>
    stockJar({ code: `J-${place}`, state: 'incubating', madeOn: calendarDay('2026-11-18'), ripeOn: null, ...changes }),
  );
  const asked: BulkRun = {
    ...run,
    day: calendarDay(day),
    minGrams: 500 * wanted,
    targetGrams: 500 * wanted,
    maxGrams: 500 * wanted,
  };
  return kitchen({ stock, runs: [asked], rooms: [], rhythm: { ...kitchen().rhythm, benchWeekdays: [] } });
}

async function probability(farm: FarmSituation, chance: FarmChance, draws = 4000): Promise<number> {
  return simulatePlan(farm, await planSpawn(farm, QUICK), chance, { draws, seed: 3 }).runs[0]!.probability;
}

describe('simulatePlan', () => {
  it('gives the same numbers for the same seed and others for another', async () => {
    const farm = growing(8, 6);
    const plan = await planSpawn(farm, QUICK);
    const chance = chanceOf(farm, { lossRate: 0.2 });
    const once = simulatePlan(farm, plan, chance, { draws: 500, seed: 1 });
    expect(simulatePlan(farm, plan, chance, { draws: 500, seed: 1 })).toEqual(once);
    expect(simulatePlan(farm, plan, chance, { draws: 500, seed: 2 }).runs).not.toEqual(once.runs);
  });

  it('is certain of a plan in which nothing is left to chance', async () => {
    const plan = await planSpawn(kitchen(), QUICK);
    const { runs } = simulatePlan(kitchen(), plan, noChance(kitchen()), { draws: 20, seed: 1 });
    expect(runs).toEqual([
      { run: 'run-1', probability: 1, standardError: 0, fullProbability: 1, expectedShortGrams: 0 },
    ]);
  });

  it('does not discount a lot again in full for what it has come through: 0.9^3, not 0.7^3', async () => {
    const farm = growing(3, 3, { survival: 0.9 });
    const chance = chanceOf(farm, { lossRate: 0.3 });
    // The planner cannot cover it in expectation; what it has is given all the same.
    const some = { ...farm, runs: [{ ...farm.runs[0]!, minGrams: 1300, targetGrams: 1300, maxGrams: 1300 }] };
    expect(await probability(some, chance)).toBeCloseTo(0.9 ** 3, 1.5);
  });

  it('covers a run on the very day of ripening half the time when lots ripen early or late', async () => {
    const onTheDay = growing(4, 2, {}, '2026-12-02');
    const chance = chanceOf(onTheDay, { lotDeviationDays: 2 });
    expect(await probability(onTheDay, chance)).toBeCloseTo(0.6, 1);
    const later = growing(4, 2, {}, '2026-12-06');
    expect(await probability(later, chance)).toBeGreaterThan(0.97);
  });

  it('knows that what has not ripened by today did not ripen yesterday', async () => {
    const overdue = growing(4, 2, { madeOn: calendarDay('2026-11-08') }, '2026-11-25');
    const chance = chanceOf(overdue, { lotDeviationDays: 2 });
    const today = await probability(overdue, chance);
    expect(today).toBeGreaterThan(0.1);
    expect(today).toBeLessThan(0.6);
  });

  it('loses half of what is left until the last day it is expected to keep: nobody opens it before because it will not', async () => {
    const stock = [1, 2].map((place) =>
      stockJar({
        code: `J-${place}`,
        state: 'ripe',
        ripeOn: addDays(kitchen().asOf, 3 - kitchen().strains[0]!.warmLifeDays),
      }),
    );
    const lastDay = addDays(kitchen().asOf, 3);
    const asked = { ...run, day: lastDay, minGrams: 1000, targetGrams: 1000, maxGrams: 1000 };
    const strains = kitchen().strains.map((strain) => ({ ...strain, mayBeChilled: false }));
    const farm = kitchen({ stock, strains, runs: [asked] });
    // Of those that have kept so far, 92 in 100, half a hundred keep until then.
    expect(await probability(farm, chanceOf(farm, { lifeDeviation: 0.1 }))).toBeCloseTo(0.5 / 0.924, 1);
  });

  it('lets a run and a start share a jar: neither keeps it from the other', async () => {
    const soon = { ...run, id: 'soon', day: calendarDay('2026-11-27'), minGrams: 300, targetGrams: 300, maxGrams: 300 };
    const farm = kitchen({ runs: [soon, run] });
    const plan = await planSpawn(farm, QUICK);
    const shared = plan.uses.filter(({ from }) => from === 'M-1');
    expect(new Set(shared.map(({ to }) => to.kind))).toEqual(new Set(['run', 'start']));
    const { runs } = simulatePlan(farm, plan, noChance(farm), { draws: 20, seed: 1 });
    expect(runs.map((each) => [each.run, each.probability])).toEqual([
      ['soon', 1],
      ['run-1', 1],
    ]);
  });

  it('has the luck of fewer draws in the first of more', () => {
    const chance = usualStrainChance({ id: 'oyster', lossRate: 0.2, daysToRipe: 14 });
    const ties = { lot: 'a', grainBatch: 'b', cycle: 'c', mother: 'd' };
    const [first, anew] = [new Luck(5, 200).first(50), new Luck(5, 50)].map((luck) => luck.lot(chance, ties));
    expect(first!.cleanOf(9)).toEqual(anew!.cleanOf(9));
    expect(first!.ripening).toEqual(anew!.ripening);
    expect(first!.life).toEqual(anew!.life);
    expect(first!.roundings).toEqual(anew!.roundings);
  });

  it('loses lots of one grain batch together: with a shared shock all fail more often than by themselves', () => {
    const luck = new Luck(5, 4000);
    const strain = { id: 'oyster', lossRate: 0.2, daysToRipe: 14 };
    const correlation = (share: number) => {
      const chance = usualStrainChance(strain, {
        ...still,
        lotCorrelation: 0.3,
        shared: { strain: 0, grainBatch: share, cycle: 0, mother: 0 },
      });
      const lots = ['a', 'b'].map((lot) => luck.lot(chance, { lot, grainBatch: 'one', cycle: lot, mother: lot }));
      const clean = lots.map((lot) => Array.from(lot.cleanOf(20)));
      return pearson(clean[0]!, clean[1]!);
    };
    expect(Math.abs(correlation(0))).toBeLessThan(0.06);
    expect(correlation(0.8)).toBeGreaterThan(0.5);
  });

  it('gives a run that cannot be planned no chance, and one that asks for nothing every chance', async () => {
    const past = { ...run, id: 'past', day: calendarDay('2026-11-01') };
    const nothing = { ...run, id: 'nothing', minGrams: 0, targetGrams: 0, maxGrams: 0 };
    const farm = kitchen({ runs: [past, nothing] });
    const plan = await planSpawn(farm, QUICK);
    const { runs } = simulatePlan(farm, plan, usualChance(farm), { draws: 50, seed: 1 });
    expect(Object.fromEntries(runs.map((each) => [each.run, each.probability]))).toEqual({ past: 0, nothing: 1 });
  });

  it('lets a farm without a jar have no chance, and says so run by run', async () => {
    const farm = kitchen({ stock: [] });
    const plan = await planSpawn(farm, QUICK);
    expect(simulatePlan(farm, plan, usualChance(farm), { draws: 50, seed: 1 }).runs[0]?.probability).toBe(0);
  });

  it('refuses chances and draws that mean nothing', async () => {
    const farm = kitchen();
    const plan = await planSpawn(farm, QUICK);
    const bad = chanceOf(farm, { lossRate: 1.2 });
    expect(() => simulatePlan(farm, plan, bad)).toThrow('rates from 0 to below 1');
    expect(() => simulatePlan(farm, plan, usualChance(farm), { draws: 0, seed: 1 })).toThrow('1 to 100,000');
  });
});

function pearson(one: readonly number[], other: readonly number[]): number {
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const [meanOne, meanOther] = [mean(one), mean(other)];
  let [both, first, second] = [0, 0, 0];
  one.forEach((value, place) => {
    const [a, b] = [value - meanOne, other[place]! - meanOther];
    both += a * b;
    first += a * a;
    second += b * b;
  });
  return both / Math.sqrt(first * second);
}
