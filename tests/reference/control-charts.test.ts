import {
  binomialSlack,
  type ChartPoint,
  contaminationHazard,
  cusum,
  ewma,
  type NotEnoughData,
  rateChart,
  rateEwma,
  remainingRisk,
  seededRandom,
  shrunkRates,
} from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';

const found = <T extends { kind: string }>(result: T | NotEnoughData): T => {
  if (result.kind === 'not enough data') throw new Error((result as NotEnoughData).reason);
  return result as T;
};
const weeks = (hits: readonly number[], n: readonly number[] | number): ChartPoint[] =>
  hits.map((h, i) => ({ label: `week ${i + 1}`, hits: h, n: typeof n === 'number' ? n : n[i]! }));
const out = (chart: { points: readonly { label: string; signal: string | null }[] }) =>
  chart.points.filter(({ signal }) => signal).map(({ label }) => Number(label.slice(5)));

describe('p-chart of Montgomery’s orange-juice cans = NIST 6.3.3.2 (data read in R’s qcc; limits of the book from memory)', () => {
  const defects = [
    12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22, 8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9, 6,
  ];
  const chart = found(rateChart(weeks(defects, 50), { method: 'p' }));

  it('centre 0.2313, limits 0.0524 and 0.4102, samples 15 and 23 out', () => {
    expect(chart.centre).toBeCloseTo(0.2313333333, 9);
    expect(chart.points[0]!.highLimit).toBeCloseTo(0.4102391186, 9);
    expect(chart.points[0]!.lowLimit).toBeCloseTo(0.0524275481, 9);
    expect(out(chart)).toEqual([15, 23]);
    expect(chart.signals[0]!.sentence).toBe(
      'week 15 is outside what chance explains: 22 of 50 jars contaminated (44.0 %), where up to 41.0 % is usual.',
    );
  });

  it('without 15 and 23: centre 0.2150, limits 0.0407 and 0.3893, then 21 is out', () => {
    const rest = found(
      rateChart(
        weeks(defects, 50).filter((_, i) => i !== 14 && i !== 22),
        { method: 'p' },
      ),
    );
    expect(rest.centre).toBeCloseTo(0.215, 9);
    expect(rest.points[0]!.highLimit).toBeCloseTo(0.3893, 4);
    expect(rest.points[0]!.lowLimit).toBeCloseTo(0.0407, 4);
    expect(out(rest)).toEqual([21]);
  });

  it('Laney’s sigma of all 30 is 1.6608667 (computed)', () => {
    expect(found(rateChart(weeks(defects, 50))).sigmaZ).toBeCloseTo(1.6608667, 6);
  });
});

describe('Laney’s chart of the NHS emergency departments (Mohammed and others, BMJ Qual Saf 2013; data read in R’s qicharts2)', () => {
  const seen = [
    266501, 264225, 276532, 281461, 269071, 261215, 270409, 279778, 270483, 270320, 267923, 271478, 255353, 256820,
    261835, 259144, 255910, 260863, 264465, 260989,
  ];
  const all = [
    280443, 276823, 291681, 296155, 282343, 275888, 283867, 295251, 284468, 282529, 279618, 283932, 266629, 268091,
    276803, 271578, 266005, 273520, 278574, 273772,
  ];

  it('a chart of pure chance calls 16 of 20 weeks, Laney’s none', () => {
    const chance = found(rateChart(weeks(seen, all), { method: 'p' }));
    expect(chance.centre).toBeCloseTo(0.95289971, 7);
    expect(chance.points.filter(({ signal }) => signal === null).map(({ label }) => Number(label.slice(5)))).toEqual([
      5, 7, 18, 20,
    ]);
    const laney = found(rateChart(weeks(seen, all)));
    expect(laney.sigmaZ).toBeCloseTo(10.640422, 5);
    expect(laney.signals).toEqual([]);
    expect(laney.points[0]!.lowLimit).toBeCloseTo(0.94013, 5);
    expect(laney.points[0]!.highLimit).toBeCloseTo(0.96567, 5);
    expect(laney.points[19]!.lowLimit).toBeCloseTo(0.939975, 5);
    expect(laney.points[19]!.highLimit).toBeCloseTo(0.965824, 5);
  });
});

describe('running averages and cumulative sums', () => {
  it('EWMA of NIST 6.3.2.4 (method read, values from memory and recomputed): no signal', () => {
    const x = [
      52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1,
    ];
    const printed = [
      50.6, 49.52, 50.564, 50.185, 50.159, 49.212, 49.748, 49.854, 50.258, 50.33, 50.111, 49.358, 49.52, 50.054, 49.378,
      49.925, 50.727, 51.229, 51.94, 51.988,
    ];
    const points = ewma(x, 50, new Array<number>(20).fill(2.0539), { lambda: 0.3, width: 3 });
    printed.forEach((value, i) => {
      expect(Math.abs(points[i]!.average - value)).toBeLessThan(6e-4);
    });
    expect(points.every(({ signal }) => signal === null)).toBe(true);
    expect(points[19]!.lowLimit).toBeCloseTo(47.4115682, 2);
    expect(points[19]!.highLimit).toBeCloseTo(52.5884317, 2);
  });

  const montgomery = [
    9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.2, 10.34, 9.03, 11.47, 10.51, 9.4, 10.08, 9.37, 10.62, 10.31,
    8.52, 10.84, 10.9, 9.33, 12.29, 11.5, 10.6, 11.08, 10.38, 11.62, 11.31, 10.52,
  ];

  it('Montgomery Table 9.1 (data read): EWMA 0.1 with 2.7 signals first at 29', () => {
    const points = ewma(montgomery, 10, new Array<number>(30).fill(1), { lambda: 0.1, width: 2.7 });
    expect(points[0]!.average).toBeCloseTo(9.945, 9);
    expect(points[1]!.average).toBeCloseTo(9.7495, 9);
    expect(points[28]!.average).toBeCloseTo(10.64682, 4);
    expect(points.findIndex(({ signal }) => signal !== null) + 1).toBe(29);
    const late = ewma(new Array<number>(500).fill(10), 10, new Array<number>(500).fill(1), { lambda: 0.1, width: 2.7 });
    expect(late[499]!.highLimit).toBeCloseTo(10.619422, 5);
    expect(late[499]!.lowLimit).toBeCloseTo(9.3805775, 5);
  });

  it('Montgomery Table 9.1: cumulative sum 5.28 at 29, a run of seven', () => {
    const points = cusum(montgomery, { target: 10, slack: 0.5, decision: 5 });
    expect(points[28]!.above).toBeCloseTo(5.28, 9);
    expect(points[29]!.above).toBeCloseTo(5.3, 9);
    expect(points[28]).toMatchObject({ signal: 'above', risingFor: 7 });
    expect(points.findIndex(({ signal }) => signal !== null) + 1).toBe(29);
  });

  it('cumulative sum of NIST 6.3.2.3 (from memory, recomputed): signal at 14', () => {
    const x = [
      324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625, 325.15, 328.325,
      327.25, 327.825, 328.5, 326.675, 327.775, 326.875, 328.35,
    ];
    const points = cusum(x, { target: 325, slack: 0.3175, decision: 4.1959 });
    [3.0075, 4.94, 7.4475, 10.63].forEach((value, i) => {
      expect(points[12 + i]!.above).toBeCloseTo(value, 9);
    });
    expect(points[19]!.above).toBeCloseTo(19.035, 9);
    expect(points[7]!.below).toBeCloseTo(0.715, 9);
    expect(points.findIndex(({ signal }) => signal !== null) + 1).toBe(14);
  });

  it('slack for counts after Reynolds and Stoumbos 1999 (computed)', () => {
    expect(binomialSlack(0.005, 0.01, 1)).toBeCloseTo(0.005037794 / 0.698184975, 8);
    expect(binomialSlack(0.05, 0.1, 50)).toBeCloseTo(3.6179188, 6);
  });

  it('EWMA of a rate of 5 % with 48 jars has the computed half-widths', () => {
    const chart = found(rateEwma(weeks(new Array<number>(50).fill(2), 48), 0.05, 1, { lambda: 0.2, width: 2.7 }));
    const half = (i: number) => chart.points[i]!.highLimit - 0.05;
    expect(half(0)).toBeCloseTo(0.0169871275, 9);
    expect(half(1)).toBeCloseTo(0.0217541375, 9);
    expect(half(4)).toBeCloseTo(0.0267487454, 9);
    expect(half(49)).toBeCloseTo(0.0283118791, 9);
  });

  it('runs as long without a false alarm as published: EWMA(0.1, 2.7) 369 points, CUSUM(0.5, 4) 168 (seeded simulation)', () => {
    const random = seededRandom(3);
    const lengths = { ewma: 0, cusum: 0 };
    const runs = 300;
    for (let i = 0; i < runs; i++) {
      const values = Array.from({ length: 2500 }, () => random.normal());
      lengths.ewma +=
        1 +
        ewma(values, 0, new Array<number>(2500).fill(1), { lambda: 0.1, width: 2.7 }).findIndex(
          (p) => p.signal !== null,
        );
      lengths.cusum += 1 + cusum(values, { target: 0, slack: 0.5, decision: 4 }).findIndex((p) => p.signal !== null);
    }
    // With 300 runs the mean of an exponential time is known to about 6 %; three of those either side.
    expect(Math.abs(lengths.ewma / runs / 368.994 - 1)).toBeLessThan(0.18);
    expect(Math.abs(lengths.cusum / runs / 167.684 - 1)).toBeLessThan(0.18);
  });
});

describe('charts on simulated weeks', () => {
  const series = (seed: number, correlation: number, count: number): ChartPoint[] => {
    const random = seededRandom(seed);
    const total = 1 / correlation - 1;
    return Array.from({ length: count }, (_, i) => {
      const n = 30 + random.whole(40);
      const rate = random.beta(0.1 * total, 0.9 * total);
      return { label: `week ${i + 1}`, hits: random.binomial(n, rate), n };
    });
  };
  const alarms = (method: 'p' | 'laney', correlation: number) => {
    let count = 0;
    for (let seed = 0; seed < 200; seed++)
      count += found(rateChart(series(seed, correlation, 52), { method })).signals.length;
    return count / (200 * 52);
  };

  it('Laney’s chart calls few weeks false where lots vary beyond chance; a chart of pure chance calls many', () => {
    expect(alarms('p', 0.05)).toBeGreaterThan(0.05);
    expect(alarms('laney', 0.05)).toBeLessThan(0.015);
  });

  it('finds a week with three times the usual rate', () => {
    let hit = 0;
    for (let seed = 0; seed < 100; seed++) {
      const weeksOfYear = series(seed, 0.01, 52);
      weeksOfYear[45] = { label: 'week 46', hits: 18, n: 50 };
      if (out(found(rateChart(weeksOfYear))).includes(46)) hit++;
    }
    expect(hit).toBeGreaterThanOrEqual(95);
  });

  it('passes over weeks without jars, and says "not enough data" for few weeks or none lost', () => {
    const some = series(1, 0.02, 20);
    expect(found(rateChart([...some, { label: 'closed', hits: 0, n: 0 }])).points).toHaveLength(20);
    expect(rateChart([])).toMatchObject({ kind: 'not enough data', n: 0, needed: 8 });
    expect(rateChart(some.slice(0, 7))).toMatchObject({ kind: 'not enough data', n: 7 });
    expect(rateChart(some.map((p) => ({ ...p, hits: 0 })))).toMatchObject({ kind: 'not enough data' });
    expect(rateChart(some.map((p) => ({ ...p, hits: p.n })))).toMatchObject({ kind: 'not enough data' });
    expect(() => rateChart([{ label: 'x', hits: 3, n: 2 }])).toThrow('3 of 2');
    expect(rateEwma([], 0.1)).toMatchObject({ kind: 'not enough data' });
  });
});

describe('shrunk rates', () => {
  it('draws a small lot to the farm’s rate and leaves a large one alone, with own prior after five lots that differ', () => {
    const random = seededRandom(12);
    const groups = Array.from({ length: 60 }, (_, i) => ({
      key: `lot ${i}`,
      n: 8,
      hits: random.binomial(8, random.beta(2, 18)),
    }));
    const { prior, rates } = shrunkRates(
      [...groups, { key: 'small', n: 4, hits: 3 }, { key: 'large', n: 400, hits: 120 }],
      { mean: 0.1, jars: 20 },
    );
    expect(prior.from).toBe('own groups');
    const of = (key: string) => rates.find((rate) => rate.key === key)!;
    expect(of('small').shrunk.value).toBeLessThan(0.4);
    expect(of('large').shrunk.value).toBeGreaterThan(0.27);
    for (const { shrunk } of rates) expect(shrunk.low <= shrunk.value && shrunk.value <= shrunk.high).toBe(true);
  });

  it('starts from the published rate while there are few lots, and a lot of no jars has just that', () => {
    const { prior, rates } = shrunkRates([{ key: 'a', n: 0, hits: 0 }], { mean: 0.1, jars: 20 });
    expect(prior).toEqual({ mean: 0.1, jars: 20, from: 'published', guesses: [{ a: 2, b: 18, weight: 1 }] });
    expect(rates[0]!.shrunk.value).toBeCloseTo(0.1, 12);
    expect(rates[0]!.observed).toMatchObject({ kind: 'not enough data' });
    expect(shrunkRates([], { mean: 0.1, jars: 20 }).rates).toEqual([]);
  });

  it('its 95 % credible intervals hold the true rate of 95 of 100 lots, over simulated farms', () => {
    const random = seededRandom(21);
    let [held, all] = [0, 0];
    for (let farm = 0; farm < 40; farm++) {
      const truth = Array.from({ length: 60 }, () => random.beta(2, 18));
      const groups = truth.map((p, i) => ({ key: `${i}`, n: 12, hits: random.binomial(12, p) }));
      shrunkRates(groups, { mean: 0.1, jars: 20 }).rates.forEach(({ shrunk }, i) => {
        all++;
        if (shrunk.low <= truth[i]! && truth[i]! <= shrunk.high) held++;
      });
    }
    expect(held / all).toBeGreaterThan(0.92);
    expect(held / all).toBeLessThan(0.97);
  });
});

describe('contamination by days since inoculation', () => {
  it('recovers a known hazard from jars that were used early, with its interval', () => {
    const random = seededRandom(31);
    const jars = Array.from({ length: 6000 }, () => {
      const spoils = -Math.log(1 - random.uniform()) / 0.01;
      const used = 6 + random.whole(15);
      return spoils < used ? { days: spoils, contaminated: true } : { days: used, contaminated: false };
    });
    const hazard = found(contaminationHazard(jars));
    for (const { perJarDay } of hazard.bands.slice(0, 4)) {
      if (perJarDay.kind !== 'estimate') throw new Error(perJarDay.reason);
      expect(perJarDay.low).toBeLessThan(0.0112);
      expect(perJarDay.high).toBeGreaterThan(0.0088);
    }
    expect(remainingRisk(hazard, 0, 14)).toBeCloseTo(1 - Math.exp(-0.14), 1);
    expect(remainingRisk(hazard, 9, 14)).toBeCloseTo(1 - Math.exp(-0.05), 2);
    expect(remainingRisk(hazard, 14, 14)).toBe(0);
  });

  it('counts jar-days and events in the right span, by hand', () => {
    const hazard = found(
      contaminationHazard(
        [
          { days: 3, contaminated: true },
          { days: 5, contaminated: false },
          { days: 30, contaminated: true },
        ],
        [0, 4, 8],
      ),
    );
    expect(hazard.bands.map(({ jarDays, contaminated }) => [jarDays, contaminated])).toEqual([
      [11, 1],
      [27, 1],
    ]);
    expect(hazard).toMatchObject({ n: 3, contaminated: 2 });
    const [first] = hazard.bands;
    // Garwood's exact limits for one event: 0.0253 and 5.5716.
    expect(first!.perJarDay).toMatchObject({ kind: 'estimate', n: 11 });
    if (first!.perJarDay.kind === 'estimate') {
      expect(first!.perJarDay.low * 11).toBeCloseTo(0.0253178, 5);
      expect(first!.perJarDay.high * 11).toBeCloseTo(5.571643, 4);
    }
  });

  it('says "not enough data" where nothing was watched, and refuses days before inoculation', () => {
    expect(contaminationHazard([])).toMatchObject({ kind: 'not enough data' });
    const none = found(contaminationHazard([{ days: 2, contaminated: false }]));
    expect(none.bands[3]!.perJarDay).toMatchObject({ kind: 'not enough data' });
    expect(remainingRisk(none, 0, 20)).toBe(0);
    expect(() => contaminationHazard([{ days: -1, contaminated: false }])).toThrow('0 days or more');
    expect(() => contaminationHazard([{ days: 1, contaminated: false }], [0, 5, 3])).toThrow('rise from 0');
  });
});
