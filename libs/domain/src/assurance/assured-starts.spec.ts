import { describe, expect, it } from '@jest/globals';
import { kitchen, stockJar } from '../../../../tests/reference/planning-kitchen.js';
import { planSpawn } from '../planning/plan-spawn.js';
import type { FarmSituation } from '../planning/situation.js';
import { binomialCdf, binomialPmf } from '../statistics/distributions.js';
import type { AssuranceSearch } from './assurance-search.js';
import { assureStarts } from './assured-starts.js';
import { type FarmChance, usualStrainChance } from './farm-chance.js';

const LOSS = 0.2;
const lossesOnly: FarmChance = {
  strains: [
    usualStrainChance(
      { id: 'oyster', lossRate: LOSS, daysToRipe: 14 },
      {
        ...{ lotCorrelation: 0, lotDeviationDays: 0, containerDeviationDays: 0, lifeDeviation: 0 },
        shared: { strain: 0, grainBatch: 0, cycle: 0, mother: 0 },
      },
    ),
  ],
  missedBenchShare: 0,
};
const search: AssuranceSearch = { assurance: 0.95, draws: 4000, seed: 4, trials: 200, held: new Set() };

/** A run of ten jars four weeks ahead, one bench day in reach, room for all. */
function tenJars(changes: Partial<FarmSituation> = {}): FarmSituation {
  const farm = kitchen();
  return {
    ...farm,
    rooms: [],
    rhythm: { ...farm.rhythm, benchContainersPerDay: 60, vesselPlaces: 60 },
    strains: [{ ...farm.strains[0]!, lossRate: LOSS }],
    runs: [{ ...farm.runs[0]!, minGrams: 5000, targetGrams: 5000, maxGrams: 5000 }],
    stock: [stockJar({ code: 'M-1' })],
    ...changes,
  };
}

async function started(farm: FarmSituation, options: Partial<AssuranceSearch> = {}) {
  const plan = await planSpawn(farm, { exact: 'never' });
  const assured = assureStarts(farm, plan, lossesOnly, { ...search, ...options });
  return { ...assured, jars: assured.starts.reduce((sum, start) => sum + start.containers, 0) };
}

/** Money does not matter but for the assurance: shortage costs next to nothing. */
const cheap = { ...kitchen().costs, perGramShort: 0.002, perGramBelowTarget: 0, perGramAgedOut: 0 };

describe('assureStarts', () => {
  it('starts as many jars as the binomial tail asks for the assurance, and no more', async () => {
    // The mother jar's rest may stand in for a jar, so the smallest number lies between the tails of nine and of ten.
    const smallest = (wanted: number) => {
      let n = wanted;
      while (binomialCdf(n - wanted, n, LOSS) < 0.95) n += 1;
      return n;
    };
    const { jars, limitOf, changed } = await started(tenJars({ costs: { ...cheap, perGramShort: 0.01 } }));
    expect(changed).toBe(true);
    expect(jars).toBeGreaterThanOrEqual(smallest(9));
    expect(jars).toBeLessThanOrEqual(smallest(10));
    expect(limitOf('run-1')).toBeNull();
  });

  it('without assurance weighs a jar against the shortage it prevents: the newsvendor’s count', async () => {
    const costs = { ...cheap, perGramShort: 0.02, perCycle: 0 };
    const { jars } = await started(tenJars({ costs }), { assurance: 0 });
    const expectedCost = (n: number, wanted: number) => {
      let short = 0;
      for (let clean = 0; clean < wanted; clean += 1) short += binomialPmf(clean, n, 1 - LOSS) * (wanted - clean) * 500;
      return n * costs.perContainerStarted + short * costs.perGramShort;
    };
    const best = (wanted: number) => {
      const counts = Array.from({ length: 15 }, (_, more) => wanted + more);
      return counts.reduce((least, n) => (expectedCost(n, wanted) < expectedCost(least, wanted) ? n : least));
    };
    expect(jars).toBeGreaterThanOrEqual(best(9));
    expect(jars).toBeLessThanOrEqual(best(10) + 1);
  });

  it('names the limit that keeps a run below its assurance, and the smallest lift', async () => {
    const farm = tenJars();
    const narrow = { ...farm, rhythm: { ...farm.rhythm, benchContainersPerDay: 12, benchWeekdays: [6] as const } };
    const late = { ...narrow, runs: [{ ...farm.runs[0]!, day: '2026-12-19' as never }] };
    const { limitOf } = await started(late);
    const limit = limitOf('run-1')!;
    expect(limit.kind).toBe('bench');
    expect(limit.message).toMatch(/^The bench takes 12 containers on 2026-\d\d-\d\d; [1-9]\d* more would help\.$/);
  });

  it('never touches a start that is held', async () => {
    const farm = tenJars();
    const plan = await planSpawn(farm, { exact: 'never' });
    const held = new Set(plan.starts.map(({ id }) => id));
    const { starts } = assureStarts(farm, plan, lossesOnly, { ...search, held });
    const counts = new Map(starts.map((start) => [start.benchDay, start.containers]));
    for (const start of plan.starts) expect(counts.get(start.benchDay)).toBe(start.containers);
  });

  it('chooses the same starts every time', async () => {
    const [once, again] = [await started(tenJars()), await started(tenJars())];
    expect(again.starts).toEqual(once.starts);
    expect(again.gain).toBe(once.gain);
  });
});
