import {
  betaCdf,
  betaQuantile,
  binomialCdf,
  binomialPmf,
  chiSquareUpper,
  gammaCdf,
  highestRateWithoutHits,
  type IntervalMethod,
  logGamma,
  normalCdf,
  normalQuantile,
  poissonCdf,
  rateEstimate,
  seededRandom,
} from '@jarfold/domain';
import { beforeAll, describe, expect, it } from '@jest/globals';
import cephes from 'cephes';
import fc from 'fast-check';

beforeAll(async () => {
  await cephes.compiled;
});

const limits = (hits: number, n: number, method: IntervalMethod, level = 0.95) => {
  const result = rateEstimate(hits, n, method, level);
  if (result.kind !== 'estimate') throw new Error(result.reason);
  return [result.low, result.high] as const;
};

describe('binomial intervals', () => {
  const table: readonly (readonly [number, number, number, number, number, number, number, number])[] = [
    [81, 263, 0.2552885199, 0.366209577, 0.2527367456, 0.3676219226, 0.254521935, 0.3656474992],
    [0, 20, 0, 0.1611251581, 0, 0.168433471, 0, 0.1166389829],
    [1, 29, 0.0061132143, 0.1717552188, 0.0008726469, 0.1776442955, 0.0037461736, 0.150077686],
    [13, 16, 0.5699111904, 0.9340840093, 0.5435434538, 0.9595262661, 0.5792148278, 0.9441870161],
    [7, 50, 0.0695083343, 0.2618619371, 0.0581917003, 0.2673960025, 0.0648717012, 0.2553250282],
    [10, 10, 0.7224672001, 1, 0.6915028922, 1, 0.7828037325, 1],
  ];
  it.each(table)(
    '%i of %i as in Newcombe 1998 Table I (81/263 read, others from memory), all digits computed with R 4.2 and scipy 1.10',
    (hits, n, wLow, wHigh, cLow, cHigh, jLow, jHigh) => {
      const expected = { wilson: [wLow, wHigh], 'clopper-pearson': [cLow, cHigh], jeffreys: [jLow, jHigh] } as const;
      for (const [method, [low, high]] of Object.entries(expected)) {
        expect(limits(hits, n, method as IntervalMethod)[0]).toBeCloseTo(low, 7);
        expect(limits(hits, n, method as IntervalMethod)[1]).toBeCloseTo(high, 7);
      }
    },
  );

  it.each([
    [81, 263, 0.253509, 0.368176],
    [0, 20, 0, 0.200453],
    [1, 29, 0.001803, 0.196282],
    [13, 16, 0.536923, 0.950269],
    [7, 50, 0.06277, 0.273564],
    [10, 10, 0.655463, 1],
  ])('%i of %i with Wilson’s continuity correction (computed with R)', (hits, n, low, high) => {
    expect(limits(hits, n, 'wilson-corrected')[0]).toBeCloseTo(low, 6);
    expect(limits(hits, n, 'wilson-corrected')[1]).toBeCloseTo(high, 6);
  });

  it('13 of 16 as printed by Fagerland, Lydersen and Laake 2017, chapter 2 (read in the public tests of its code)', () => {
    const printed: Partial<Record<IntervalMethod, readonly [number, number]>> = {
      'clopper-pearson': [0.5435, 0.9595],
      'mid-p': [0.5699, 0.95],
      jeffreys: [0.5792, 0.9442],
      wilson: [0.5699, 0.9341],
      'wilson-corrected': [0.5369, 0.9503],
    };
    for (const [method, [low, high]] of Object.entries(printed)) {
      expect(limits(13, 16, method as IntervalMethod)[0]).toBeCloseTo(low, 4);
      expect(Math.abs(limits(13, 16, method as IntervalMethod)[1] - high)).toBeLessThan(6e-5);
    }
    expect(limits(0, 9, 'mid-p')[1]).toBeCloseTo(0.2831, 4);
    expect(limits(0, 1, 'clopper-pearson')[1]).toBeCloseTo(0.975, 9);
  });

  it('4 of 20 at 90 % exact is NIST 7.2.4.2 (method read, limits 0.071354 and 0.401029 from memory)', () => {
    const [low, high] = limits(4, 20, 'clopper-pearson', 0.9);
    expect(low).toBeCloseTo(0.0713538843, 7);
    expect(high).toBeCloseTo(0.4010281173, 7);
  });

  it('26 of 200 at 90 % Wilson is the example of NIST 7.2.4.1 (limits computed; the printed ones were not found)', () => {
    expect(limits(26, 200, 'wilson', 0.9)[0]).toBeCloseTo(0.0957727, 6);
    expect(limits(26, 200, 'wilson', 0.9)[1]).toBeCloseTo(0.1741042, 6);
  });

  it('Jeffreys limits to three digits as in Brown, Cai, DasGupta 2001, Table 5 (form from memory, values computed)', () => {
    const ten = [
      [0, 0.217],
      [0.011, 0.381],
      [0.044, 0.503],
      [0.093, 0.606],
      [0.153, 0.696],
      [0.224, 0.776],
    ];
    ten.forEach(([low, high], hits) => {
      expect(limits(hits, 10, 'jeffreys').map((x) => Number(x.toFixed(3)))).toEqual([low, high]);
    });
    const thirty = [
      [0, 0.08],
      [0.004, 0.145],
      [0.014, 0.197],
      [0.029, 0.243],
    ];
    thirty.forEach(([low, high], hits) => {
      expect(limits(hits, 30, 'jeffreys').map((x) => Number(x.toFixed(3)))).toEqual([low, high]);
    });
  });

  it.each([
    [8, 10, 0.444, 0.975, 0.49, 0.943, 'enoki samples with Listeria, California CDPH 2022'],
    [11, 14, 0.492, 0.953, 0.524, 0.924, 'shiitake workers with symptoms, Lenhart and Cole 1993'],
    [54, 259, 0.161, 0.263, 0.163, 0.262, 'mushroom workers surveyed, Sanderson et al. 1992'],
    [
      58,
      110,
      0.43,
      0.623,
      0.435,
      0.618,
      'growers heating for an hour: 52.7 %, Bangladesh SAU repository 2611, 2013–16',
    ],
  ])('%i of %i: published counts, computed intervals (%s)', (hits, n, cLow, cHigh, wLow, wHigh) => {
    expect(limits(hits, n, 'clopper-pearson').map((x) => Number(x.toFixed(3)))).toEqual([cLow, cHigh]);
    expect(limits(hits, n, 'wilson').map((x) => Number(x.toFixed(3)))).toEqual([wLow, wHigh]);
  });

  it.each([
    [10, 0.2588655509],
    [14, 0.1926361757],
    [20, 0.1391083407],
    [30, 0.0950338529],
    [50, 0.0581550791],
    [100, 0.0295130496],
    [105, 0.0281276],
    [300, 0.0099360819],
    [1000, 0.0029912495],
  ])(
    'none of %i: exact one-sided limit 1 − 0.05^(1/n) (rule of three, Hanley and Lippman-Hand 1983; 0/105 is Gea et al. 1995)',
    (n, limit) => {
      const result = highestRateWithoutHits(n);
      expect(result).toMatchObject({ kind: 'estimate', n });
      if (result.kind === 'estimate') expect(result.high).toBeCloseTo(limit, 7);
    },
  );

  it('is the same told from the other side, Clopper–Pearson holds mid-p, and more hits never lower a limit', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 400 }), fc.double({ min: 0, max: 1, noNaN: true }), (n, share) => {
        const hits = Math.round(n * share);
        for (const method of ['wilson', 'clopper-pearson', 'jeffreys', 'mid-p'] as const) {
          const [low, high] = limits(hits, n, method);
          const [otherLow, otherHigh] = limits(n - hits, n, method);
          expect(low).toBeCloseTo(1 - otherHigh, 6);
          expect(high).toBeCloseTo(1 - otherLow, 6);
          expect(low).toBeLessThanOrEqual(hits / n + 1e-12);
          expect(high).toBeGreaterThanOrEqual(hits / n - 1e-12);
          if (hits < n) {
            const [nextLow, nextHigh] = limits(hits + 1, n, method);
            expect(nextLow).toBeGreaterThanOrEqual(low - 1e-7);
            expect(nextHigh).toBeGreaterThanOrEqual(high - 1e-7);
          }
        }
        const [exactLow, exactHigh] = limits(hits, n, 'clopper-pearson');
        const [midLow, midHigh] = limits(hits, n, 'mid-p');
        expect(exactLow).toBeLessThanOrEqual(midLow + 1e-7);
        expect(exactHigh).toBeGreaterThanOrEqual(midHigh - 1e-7);
      }),
      { numRuns: 60 },
    );
  });

  it('answers "not enough data" for no jars, and refuses counts that cannot be', () => {
    expect(rateEstimate(0, 0)).toMatchObject({ kind: 'not enough data', n: 0, needed: 1 });
    expect(highestRateWithoutHits(0)).toMatchObject({ kind: 'not enough data' });
    for (const [hits, n] of [
      [3, 2],
      [-1, 4],
      [1.5, 4],
      [Number.NaN, 4],
      [1, Number.POSITIVE_INFINITY],
    ])
      expect(() => rateEstimate(hits!, n!)).toThrow('cannot be');
    expect(() => rateEstimate(1, 2, 'wilson', 95)).toThrow('such as 0.95');
  });

  it('covers the true rate as often as it says, over 20,000 simulated lots of a seed', () => {
    const random = seededRandom(20261125);
    const inside: Record<string, number> = { wilson: 0, 'clopper-pearson': 0 };
    for (let i = 0; i < 20_000; i++) {
      const p = 0.03 + 0.4 * random.uniform();
      const n = 20 + random.whole(180);
      const hits = random.binomial(n, p);
      for (const method of ['wilson', 'clopper-pearson'] as const) {
        const [low, high] = limits(hits, n, method);
        if (low <= p && p <= high) inside[method]!++;
      }
    }
    expect(inside.wilson! / 20_000).toBeGreaterThan(0.943);
    expect(inside.wilson! / 20_000).toBeLessThan(0.96);
    expect(inside['clopper-pearson']! / 20_000).toBeGreaterThan(0.955);
  });
});

describe('distribution functions against the cephes library over a grid', () => {
  const shapes = [0.5, 1, 2.3, 5, 17, 80, 300, 2000];
  const shares = [1e-4, 0.001, 0.025, 0.05, 0.3, 0.5, 0.9, 0.975, 0.999];

  it('beta', () => {
    for (const a of shapes)
      for (const b of shapes) {
        for (const x of [0.001, 0.01, 0.05, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99])
          expect(Math.abs(betaCdf(x, a, b) - cephes.incbet(a, b, x))).toBeLessThan(1e-7);
        for (const p of shares) expect(Math.abs(betaQuantile(p, a, b) - cephes.incbi(a, b, p))).toBeLessThan(2e-7);
      }
  });

  it('gamma, chi-square and log-gamma', () => {
    for (const a of [0.5, 1, 2, 5, 20, 100, 1000]) {
      expect(Math.abs(logGamma(a) - cephes.lgam(a)) / Math.max(1, Math.abs(cephes.lgam(a)))).toBeLessThan(1e-12);
      for (const x of [0.3, 0.7, 1, 1.5, 2.5].map((factor) => factor * a))
        expect(Math.abs(gammaCdf(x, a, 1) - cephes.igam(a, x))).toBeLessThan(1e-10);
    }
    for (const degrees of [1, 3, 10, 50])
      for (const x of [0.01, 1, 5, 20, 80])
        expect(Math.abs(chiSquareUpper(x, degrees) - cephes.chdtrc(degrees, x))).toBeLessThan(1e-9);
  });

  it('normal', () => {
    for (const z of [-6, -3, -1, 0, 0.5, 2, 4]) expect(Math.abs(normalCdf(z) - cephes.ndtr(z))).toBeLessThan(1e-14);
    for (const p of [1e-9, ...shares]) expect(Math.abs(normalQuantile(p) - cephes.ndtri(p))).toBeLessThan(1e-8);
  });

  it('binomial and Poisson', () => {
    for (const n of [1, 5, 20, 100, 1000])
      for (const p of [0.01, 0.1, 0.5, 0.9])
        for (const share of [0, 0.1, 0.5, 0.9]) {
          const k = Math.floor(n * share);
          expect(Math.abs(binomialCdf(k, n, p) - cephes.bdtr(k, n, p))).toBeLessThan(1e-7);
          const pmf = cephes.bdtr(k, n, p) - (k === 0 ? 0 : cephes.bdtr(k - 1, n, p));
          expect(Math.abs(binomialPmf(k, n, p) - pmf)).toBeLessThan(1e-10);
        }
    for (const mean of [0.5, 3, 20])
      for (const k of [0, 2, 25]) expect(poissonCdf(k, mean)).toBeCloseTo(cephes.pdtr(k, mean), 10);
  });

  it('refuses a probability of 0 or 1 where a quantile has no bound', () => {
    expect(() => normalQuantile(0)).toThrow('between 0 and 1');
    expect(() => normalQuantile(Number.NaN)).toThrow('between 0 and 1');
  });
});
