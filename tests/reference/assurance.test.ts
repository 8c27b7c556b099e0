import type { FarmChance, FarmSituation } from '@jarfold/domain';
import { planSpawn, simulatePlan, usualStrainChance } from '@jarfold/domain/planning';
import { describe, expect, it } from '@jest/globals';
import cephes from 'cephes';
import { LossTable } from '../../libs/domain/src/assurance/loss-table.js';
import { lostContainers } from '../../libs/domain/src/assurance/lost-containers.js';
import { normalCdf } from '../../libs/domain/src/statistics/distributions.js';
import { kitchen } from './planning-kitchen.js';

await cephes.compiled;

/** Every jar on its day, losses as the strain's beta distribution says, lots sharing nothing. */
function lossesOnly(lossRate: number, lotCorrelation: number): FarmChance {
  const exact = { lotDeviationDays: 0, containerDeviationDays: 0, lifeDeviation: 0 };
  const shared = { strain: 0, grainBatch: 0, cycle: 0, mother: 0 };
  const chance = usualStrainChance({ id: 'oyster', lossRate, daysToRipe: 14 }, { ...exact, shared, lotCorrelation });
  return { strains: [chance], missedBenchShare: 0 };
}

/** A run of so many whole jars, and a planner that starts the jars it is told to by a loss it is told. */
function oneRun(jars: number, lossRate: number): FarmSituation {
  const farm = kitchen();
  const grams = farm.sizes[0]!.ripeGrams * jars;
  const roomy = { benchContainersPerDay: 400, vesselPlaces: 400 };
  return {
    ...farm,
    rooms: [],
    rhythm: { ...farm.rhythm, ...roomy },
    strains: [{ ...farm.strains[0]!, lossRate, inoculumGramsPerContainer: 1 }],
    runs: [{ ...farm.runs[0]!, minGrams: grams, targetGrams: grams, maxGrams: grams }],
  };
}

async function probabilityOf(jars: number, started: number, chance: FarmChance, draws: number) {
  const farm = oneRun(jars, 1 - jars / started);
  const plan = await planSpawn(farm, { exact: 'never' });
  expect(plan.starts.map(({ containers }) => containers)).toEqual([started]);
  return simulatePlan(farm, plan, chance, { draws, seed: 20 }).runs[0]!;
}

describe('one lot for one run', () => {
  it.each([
    // Chance that enough of the jars started are clean: a binomial tail, from cephes.
    [10, 13, 0.2],
    [20, 22, 0.1],
    [50, 55, 0.05],
  ])('%i jars wanted of %i started at a loss of %d is a binomial tail (cephes bdtr)', async (wanted, started, loss) => {
    const exact = cephes.bdtr(started - wanted, started, loss);
    const { probability, standardError } = await probabilityOf(wanted, started, lossesOnly(loss, 0), 20_000);
    expect(Math.abs(probability - exact)).toBeLessThan(4 * standardError);
    expect(standardError).toBeCloseTo(Math.sqrt((probability * (1 - probability)) / 20_000), 12);
  });

  it('with lots that differ it is the beta-binomial tail, summed with cephes’ log-beta', async () => {
    const [mean, correlation] = [0.1, 0.05];
    const shapes = [mean * (1 / correlation - 1), (1 - mean) * (1 / correlation - 1)] as const;
    const exact = betaBinomialAtMost(4, 24, ...shapes);
    const { probability, standardError } = await probabilityOf(20, 24, lossesOnly(mean, correlation), 20_000);
    expect(Math.abs(probability - exact)).toBeLessThan(4 * standardError);
  });
});

describe('the loss of a lot', () => {
  it.each([
    [0.08, 0.04],
    [0.02, 0.05],
    [0.25, 0.1],
    [0.01, 0.2],
  ])('of mean %d and correlation %d has the quantiles of its beta distribution (cephes incbi)', (mean, correlation) => {
    const table = new LossTable(mean, correlation);
    const [a, b] = [mean * (1 / correlation - 1), (1 - mean) * (1 / correlation - 1)];
    for (const z of [-2.5, -1.2, -0.3, 0, 0.4, 1, 1.9, 2.8]) {
      const exact = cephes.incbi(a, b, cephes.ndtr(z));
      expect(Math.abs(table.rateAt(z) - exact)).toBeLessThan(0.002 + 0.01 * exact);
    }
  });

  it('of many containers is the binomial quantile (cephes bdtr)', () => {
    for (const [n, p] of [
      [1, 0.3],
      [12, 0.08],
      [60, 0.15],
      [300, 0.02],
    ] as const) {
      for (const u of [0.003, 0.2, 0.5, 0.77, 0.98]) {
        const lost = lostContainers(n, p, u);
        expect(cephes.bdtr(lost, n, p)).toBeGreaterThanOrEqual(u - 1e-9);
        if (lost > 0) expect(cephes.bdtr(lost - 1, n, p)).toBeLessThan(u + 1e-9);
      }
    }
  });

  it('leaves no fewer clean containers when one more is started on the same luck', () => {
    for (const u of [0.01, 0.3, 0.6, 0.9, 0.999]) {
      for (let n = 1; n < 80; n += 1) {
        expect(n + 1 - lostContainers(n + 1, 0.13, u)).toBeGreaterThanOrEqual(n - lostContainers(n, 0.13, u));
      }
    }
  });

  it('uses a normal distribution that agrees with cephes to 1e-12', () => {
    for (let z = -6; z <= 6; z += 0.37) expect(Math.abs(normalCdf(z) - cephes.ndtr(z))).toBeLessThan(1e-12);
  });
});

function betaBinomialAtMost(most: number, n: number, a: number, b: number): number {
  let sum = 0;
  for (let k = 0; k <= most; k += 1) {
    const choose = cephes.lgam(n + 1) - cephes.lgam(k + 1) - cephes.lgam(n - k + 1);
    sum += Math.exp(choose + cephes.lbeta(a + k, b + n - k) - cephes.lbeta(a, b));
  }
  return sum;
}
