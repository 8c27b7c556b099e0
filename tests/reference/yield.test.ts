import {
  biologicalEfficiency,
  drySubstrateG,
  efficiencyByGroup,
  flushShares,
  type HarvestRun,
  harvestForecast,
  runYield,
  seededRandom,
  shrunkMeans,
  spawnRateEffect,
} from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';

describe('biological efficiency against published yields', () => {
  it.each([
    ['P. florida', 1248.3, 83.22],
    ['P. eous', 1348.7, 89.9],
    ['P. sajor-caju', 1275.7, 84.99],
  ])(
    '%s: %d g from 1.5 kg dry are %d %% (Jatwa 2016, read; the last is 0.06 off in print)',
    (name, freshG, printed) => {
      const own = 100 * biologicalEfficiency(freshG, 1500);
      expect(Math.abs(own - printed)).toBeLessThan(name === 'P. sajor-caju' ? 0.07 : 0.02);
      if (name === 'P. sajor-caju') expect(own).toBeCloseTo(85.047, 3);
    },
  );

  it.each([
    [250.0, 90.91],
    [253.85, 92.31],
    [240.79, 87.56],
    [193.79, 70.47],
    [252.01, 91.64],
    [244.45, 88.89],
    [219.42, 79.79],
    [249.95, 90.89],
    [241.15, 87.69],
    [210.27, 76.46],
  ])(
    'Hericium, %d g from 275 g dry are %d %% (Horticulturae 2025, read; the dry mass is inferred)',
    (freshG, printed) => {
      expect(Math.abs(100 * biologicalEfficiency(freshG, 275) - printed)).toBeLessThan(0.011);
    },
  );

  it.each([
    [910.1, 1.05, 866.8, 871.4, 0.957],
    [624.9, 0.803, 778.2, 590.0, 0.944],
    [406.8, 0.541, 751.9, 388.4, 0.955],
  ])(
    '%d g at %d stand on %d g of dry substrate (PMC7407021 table 2, read)',
    (freshG, efficiency, dryG, saleableG, share) => {
      expect(drySubstrateG(freshG, efficiency)).toBeCloseTo(dryG, 0);
      expect(saleableG / freshG).toBeCloseTo(share, 3);
    },
  );

  it('keeps the grams beside the ratio: 399.70 g to the kilogram is 39.97 %, where the paper prints 39.40 (Studies in Fungi 2023)', () => {
    const run = runYield([{ day: 30, flush: 1, freshG: 399.7, saleableG: null }], 1000, 0);
    expect(run.efficiency).toBeCloseTo(0.3997, 12);
    expect(run).toMatchObject({ freshG: 399.7, substrateDryG: 1000, saleableG: null, daysToFirstHarvest: 30 });
    // The same paper: 13.54 g to the kilogram, printed as 1.35 %.
    expect(runYield([{ day: 30, flush: 1, freshG: 13.54, saleableG: null }], 1000, 0).efficiency).toBeCloseTo(
      0.01354,
      12,
    );
  });

  it('25 kg wet at 62 % are 9.5 kg dry; 4.2, 2.1 and 0.9 kg are 75.789474 % (computed from the definition)', () => {
    const dryG = 25_000 * (1 - 0.62);
    const run = runYield(
      [
        { day: 34, flush: 1, freshG: 4200, saleableG: 4000 },
        { day: 46, flush: 2, freshG: 2100, saleableG: 2000 },
        { day: 57, flush: 3, freshG: 900, saleableG: 900 },
      ],
      dryG,
      0,
    );
    expect(100 * run.efficiency).toBeCloseTo(75.789474, 6);
    expect(run.flushes.reduce((sum, { efficiency }) => sum + efficiency, 0)).toBeCloseTo(run.efficiency, 12);
    expect(run).toMatchObject({ saleableG: 6900, daysToFirstHarvest: 34, daysBetweenFlushes: [12, 11] });
    expect(7200 / 25_000).toBeCloseTo(0.288, 12);
  });

  it('may exceed 100 %, is 0 for no mushrooms, and has no meaning without substrate', () => {
    expect(biologicalEfficiency(1140, 1000)).toBeCloseTo(1.14, 12);
    expect(runYield([], 1000, 5)).toMatchObject({ freshG: 0, efficiency: 0, daysToFirstHarvest: null, flushes: [] });
    expect(() => biologicalEfficiency(100, 0)).toThrow('some dry substrate');
    expect(() => runYield([{ day: 1, flush: 1, freshG: 5, saleableG: null }], 100, 4)).toThrow(
      'before the run was spawned',
    );
    expect(() => runYield([{ day: 9, flush: 0, freshG: 5, saleableG: null }], 100, 4)).toThrow('count from 1');
    expect(() => runYield([{ day: 9, flush: 1, freshG: 5, saleableG: 6 }], 100, 4)).toThrow('can be sold');
  });
});

describe('shrunk means', () => {
  const hits = [18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7];
  const season = [
    0.346, 0.298, 0.276, 0.222, 0.273, 0.27, 0.263, 0.21, 0.269, 0.23, 0.264, 0.256, 0.303, 0.264, 0.226, 0.285, 0.316,
    0.2,
  ];

  it('Efron and Morris 1977: shrinkage 0.212 (read), estimates and squared error as computed', () => {
    const mean = hits.reduce((sum, h) => sum + h / 45, 0) / 18;
    const groups = hits.map((h, i) => ({ key: `${i}`, mean: h / 45, n: 45, variance: (mean * (1 - mean)) / 45 }));
    const shrunk = shrunkMeans(groups, { mean: 0.27, variance: 0.01 });
    expect(1 - shrunk[0]!.pull).toBeCloseTo(0.2116534, 5);
    const printed = [
      0.294, 0.289, 0.285, 0.28, 0.275, 0.275, 0.27, 0.266, 0.261, 0.261, 0.256, 0.256, 0.256, 0.256, 0.256, 0.252,
      0.247, 0.242,
    ];
    shrunk.forEach(({ shrunk: { value } }, i) => {
      expect(Math.abs(value - printed[i]!)).toBeLessThan(6e-4);
    });
    const error = (values: readonly number[]) => values.reduce((sum, value, i) => sum + (value - season[i]!) ** 2, 0);
    expect(error(hits.map((h) => h / 45))).toBeCloseTo(0.075317, 5);
    expect(error(shrunk.map((each) => each.shrunk.value))).toBeCloseTo(0.0213069, 5);
  });

  it('fewer than four groups lean on the published value', () => {
    const [only] = shrunkMeans([{ key: 'a', mean: 1.2, n: 2, variance: 0.04 }], { mean: 0.75, variance: 0.04 });
    expect(only!.shrunk.value).toBeCloseTo(0.975, 9);
    expect(() => shrunkMeans([{ key: 'a', mean: 1, n: 1, variance: 0 }], { mean: 1, variance: 1 })).toThrow('above 0');
  });
});

describe('efficiency by strain', () => {
  it('one splendid run does not make a strain, and a hundred runs speak for themselves', () => {
    const random = seededRandom(3);
    const runs = [
      ...Array.from({ length: 100 }, () => ({ group: 'many', efficiency: 0.9 + 0.15 * random.normal() })),
      { group: 'one', efficiency: 1.6 },
    ];
    const [many, one] = efficiencyByGroup(runs, 0.75);
    expect(many!.shrunk.value).toBeCloseTo(0.9, 1);
    expect(one!.shrunk.value).toBeLessThan(1.4);
    expect(one!.observed).toMatchObject({ kind: 'not enough data', n: 1 });
    expect(one!.shrunk.low).toBeLessThan(one!.shrunk.value);
    expect(efficiencyByGroup([], 0.75)).toEqual([]);
    expect(() => efficiencyByGroup([{ group: 'x', efficiency: 75 }], 0.75)).toThrow('0.75 for 75 %');
  });
});

describe('shares by flush', () => {
  it('start as usual, follow the farm, and always add up to 1', () => {
    expect(flushShares([], 3)).toEqual([expect.closeTo(0.58, 6), expect.closeTo(0.28, 6), expect.closeTo(0.14, 6)]);
    const own = flushShares(new Array(50).fill([300, 400, 300]), 3);
    expect(own[1]).toBeGreaterThan(own[0]!);
    for (const flushes of [1, 2, 5])
      expect(
        flushShares(
          [
            [5, 0],
            [0, 0],
          ],
          flushes,
        ).reduce((sum, share) => sum + share, 0),
      ).toBeCloseTo(1, 9);
    expect(() => flushShares([], 0)).toThrow('1 to 12');
    expect(() => flushShares([[-1]], 2)).toThrow('cannot be');
  });
});

describe('expected harvest by week', () => {
  const run: HarvestRun = {
    id: 'r1',
    spawnedOnDay: 0,
    substrateDryG: 10_000,
    efficiency: 0.8,
    efficiencyDeviation: 0.2,
    shares: [0.6, 0.3, 0.1],
    daysToFirstHarvest: 30,
    daysBetweenFlushes: 11,
    daysDeviation: 3,
    lossRate: 0.05,
  };

  it('spreads the whole harvest over the weeks and loses none of it', () => {
    const weeks = harvestForecast([run], -7, 14);
    expect(weeks.reduce((sum, { expectedG }) => sum + expectedG, 0)).toBeCloseTo(10_000 * 0.8 * 0.95, -1);
    for (const { low, expectedG, high } of weeks) expect(low <= expectedG && expectedG <= high).toBe(true);
    expect(harvestForecast([], 0, 2).map(({ expectedG }) => expectedG)).toEqual([0, 0]);
  });

  it('its 80 % intervals hold the harvest of most simulated weeks', () => {
    const random = seededRandom(8);
    const runs = Array.from({ length: 12 }, (_, i) => ({ ...run, id: `r${i}`, spawnedOnDay: 7 * i, lossRate: 0 }));
    const weeks = harvestForecast(runs, 28, 12, 0.8);
    let [inside, all] = [0, 0];
    for (let trial = 0; trial < 200; trial++) {
      const picked = new Array<number>(12).fill(0);
      for (const each of runs) {
        const total = each.substrateDryG * Math.max(0, each.efficiency + each.efficiencyDeviation * random.normal());
        let shift = 0;
        each.shares.forEach((share, flush) => {
          shift += each.daysDeviation * random.normal();
          for (let part = 0; part < 10; part++) {
            const day =
              each.spawnedOnDay +
              each.daysToFirstHarvest +
              flush * each.daysBetweenFlushes +
              shift +
              2 * random.normal();
            const week = Math.floor((day - 28) / 7);
            if (week >= 0 && week < 12) picked[week]! += (total * share) / 10;
          }
        });
      }
      weeks.forEach(({ low, high }, i) => {
        all++;
        if (picked[i]! >= low && picked[i]! <= high) inside++;
      });
    }
    expect(inside / all).toBeGreaterThan(0.74);
    expect(inside / all).toBeLessThan(0.88);
  });

  it('refuses shares that do not add up and a loss of everything', () => {
    expect(() => harvestForecast([{ ...run, shares: [0.5, 0.2] }], 0, 1)).toThrow('add up to 1');
    expect(() => harvestForecast([{ ...run, lossRate: 1 }], 0, 1)).toThrow('below 1');
  });
});

describe('effect of the spawn rate', () => {
  it('gives the least-squares slope with Student’s interval (checked by hand: slope 0.6, correlation 0.7746)', () => {
    const outcomes = [2, 4, 5, 4, 5];
    const runs = outcomes.map((outcome, i) => ({ spawnRate: (i + 1) / 100, outcome }));
    expect(spawnRateEffect(runs)).toMatchObject({ kind: 'not enough data', n: 5 });
    const doubled = spawnRateEffect([...runs, ...runs]);
    if (doubled.kind !== 'effect') throw new Error(doubled.reason);
    expect(doubled.perPercent.value).toBeCloseTo(0.6, 9);
    expect(doubled.correlation).toBeCloseTo(0.7746, 4);
    // Residual squares 2.4 × 2 over 8 degrees, Sxx 20, t(0.975, 8) = 2.306.
    expect(doubled.perPercent.high - 0.6).toBeCloseTo(2.306 * Math.sqrt(4.8 / 8 / 20), 3);
  });

  it('says so when all runs had the same rate, and finds a trend like Royse’s 9.2 days over 2.5 points when there is one', () => {
    const same = Array.from({ length: 8 }, (_, i) => ({ spawnRate: 0.05, outcome: 30 + i }));
    expect(spawnRateEffect(same)).toMatchObject({ kind: 'not enough data' });
    const random = seededRandom(2);
    const trend = [1.25, 2.5, 3.75].flatMap((percent) =>
      Array.from({ length: 6 }, () => ({
        spawnRate: percent / 100,
        outcome: 38 - (9.2 / 2.5) * percent + random.normal(),
      })),
    );
    const effect = spawnRateEffect(trend);
    expect(effect.kind === 'effect' && effect.perPercent.low < -3.68 && effect.perPercent.high > -3.68).toBe(true);
    expect(() => spawnRateEffect([{ spawnRate: 5, outcome: 1 }])).toThrow('not 5');
  });
});
