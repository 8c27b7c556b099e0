import {
  benjaminiHochberg,
  betaBinomialLogLikelihood,
  betaCdf,
  betaQuantile,
  bonferroni,
  chanceHigher,
  fisherExact,
  fitBetaBinomial,
  hochberg,
  holm,
  logBeta,
  logisticRegression,
  momentShapes,
  type NotEnoughData,
  seededRandom,
} from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';

const repeat = (pairs: readonly (readonly [value: number, times: number])[]): number[] =>
  pairs.flatMap(([value, times]) => new Array<number>(times).fill(value));

const found = <T extends { kind: string }>(result: T | NotEnoughData): T => {
  if (result.kind === 'not enough data') throw new Error((result as NotEnoughData).reason);
  return result as T;
};

/** 71 groups of rats: Gelman and others, Bayesian Data Analysis 3, chapter 5 (data read in the book's public code). */
const tumours = repeat([
  [0, 14],
  [1, 8],
  [2, 9],
  [1, 1],
  [5, 1],
  [2, 1],
  [5, 1],
  [3, 1],
  [2, 1],
  [7, 2],
  [3, 2],
  [2, 1],
  [9, 1],
  [10, 1],
  [4, 7],
  [10, 1],
  [4, 3],
  [5, 1],
  [11, 1],
  [12, 1],
  [5, 2],
  [6, 1],
  [5, 1],
  [6, 4],
  [16, 1],
  [15, 2],
  [9, 1],
  [4, 1],
]);
const rats = repeat([
  [20, 7],
  [19, 4],
  [18, 2],
  [17, 1],
  [20, 4],
  [19, 2],
  [18, 2],
  [25, 1],
  [24, 1],
  [23, 1],
  [20, 6],
  [10, 1],
  [49, 1],
  [19, 1],
  [46, 1],
  [27, 1],
  [17, 1],
  [49, 1],
  [47, 1],
  [20, 2],
  [13, 1],
  [48, 1],
  [50, 1],
  [20, 7],
  [48, 1],
  [19, 3],
  [22, 1],
  [46, 1],
  [49, 1],
  [20, 2],
  [23, 1],
  [19, 1],
  [22, 1],
  [20, 3],
  [52, 1],
  [46, 1],
  [47, 1],
  [24, 1],
  [14, 1],
]);
const ratGroups = rats.map((n, i) => ({ hits: tumours[i]!, n }));

describe('beta-binomial shrinkage on rat tumours (BDA3 chapter 5)', () => {
  it('has the published data: 71 groups, 267 tumours in 1,739 rats', () => {
    expect(ratGroups.length).toBe(71);
    expect(tumours.length).toBe(71);
    expect(tumours.reduce((sum, y) => sum + y, 0)).toBe(267);
    expect(rats.reduce((sum, n) => sum + n, 0)).toBe(1739);
  });

  it('gives the book’s moment shapes 1.4 and 8.6 from the first 70 groups (book from memory, digits computed)', () => {
    const { a, b } = momentShapes(ratGroups.slice(0, 70));
    expect(a).toBeCloseTo(1.35615, 4);
    expect(b).toBeCloseTo(8.61506, 4);
    const mean = (4 + 1.4) / (14 + 10);
    expect(mean).toBeCloseTo(0.225, 6);
  });

  it('gives the maximum-likelihood shapes 2.3416 and 14.1148 (computed with R and scipy)', () => {
    const fit = found(fitBetaBinomial(ratGroups));
    expect(fit.a).toBeCloseTo(2.341615, 3);
    expect(fit.b).toBeCloseTo(14.114806, 2);
    expect(fit.logLikelihood).toBeCloseTo(-156.5689299, 6);
    const first70 = found(fitBetaBinomial(ratGroups.slice(0, 70)));
    expect(first70.a).toBeCloseTo(2.304783, 3);
    expect(first70.b).toBeCloseTo(14.07981, 2);
  });

  it('has its likelihood highest where it was fitted', () => {
    const fit = found(fitBetaBinomial(ratGroups));
    for (const [da, db] of [
      [0.05, 0],
      [-0.05, 0],
      [0, 0.3],
      [0, -0.3],
    ])
      expect(betaBinomialLogLikelihood(ratGroups, { a: fit.a + da!, b: fit.b + db! })).toBeLessThan(fit.logLikelihood);
  });

  it('posterior of 3 in 24 with the fitted prior (computed with scipy)', () => {
    const [a, b] = [2.341615 + 3, 14.114806 + 21];
    expect(a / (a + b)).toBeCloseTo(0.1320338, 6);
    expect(betaQuantile(0.025, a, b)).toBeCloseTo(0.0476049, 6);
    expect(betaQuantile(0.975, a, b)).toBeCloseTo(0.2506261, 6);
    expect(1 - betaCdf(0.2, a, b)).toBeCloseTo(0.1075258, 6);
  });
});

describe('Efron and Morris’s baseball averages (Scientific American 1977; data read in R’s pscl)', () => {
  it('the beta-binomial mean is the published grand mean 0.2654', () => {
    const hits = [18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7];
    const fit = fitBetaBinomial(hits.map((h) => ({ hits: h, n: 45 })));
    // The spread between the players is hardly more than chance: a flat ridge, so only the mean is asserted.
    if (fit.kind === 'fitted') expect(fit.mean).toBeCloseTo(0.265432, 3);
    else throw new Error(fit.reason);
  });
});

describe('the chance that one rate is higher than another', () => {
  it('Beta(10, 15) above Beta(5, 20): 0.9446411449 (exact sum)', () => {
    expect(chanceHigher({ a: 10, b: 15 }, { a: 5, b: 20 })).toBeCloseTo(0.9446411449, 8);
  });

  it('is the exact sum of whole shapes, adds up with the other way round, and is one half for like shapes', () => {
    fc.assert(
      fc.property(
        fc.record({ a: fc.integer({ min: 1, max: 60 }), b: fc.integer({ min: 1, max: 200 }) }),
        fc.record({ a: fc.integer({ min: 1, max: 60 }), b: fc.integer({ min: 1, max: 200 }) }),
        (one, other) => {
          let sum = 0;
          for (let i = 0; i < one.a; i++)
            sum += Math.exp(
              logBeta(other.a + i, one.b + other.b) -
                Math.log(one.b + i) -
                logBeta(1 + i, one.b) -
                logBeta(other.a, other.b),
            );
          expect(chanceHigher(one, other)).toBeCloseTo(sum, 6);
          expect(chanceHigher(one, other) + chanceHigher(other, one)).toBeCloseTo(1, 6);
          expect(chanceHigher(one, one)).toBeCloseTo(0.5, 6);
        },
      ),
      { numRuns: 40 },
    );
  });

  it('holds for far and thin shapes, and refuses what is no distribution', () => {
    expect(chanceHigher({ a: 0.5, b: 0.5 }, { a: 0.5, b: 0.5 })).toBeCloseTo(0.5, 6);
    expect(chanceHigher({ a: 20_000, b: 80_000 }, { a: 10_000, b: 90_000 })).toBeCloseTo(1, 9);
    expect(() => chanceHigher({ a: 0, b: 1 }, { a: 1, b: 1 })).toThrow('above 0');
  });
});

describe('false-discovery control', () => {
  const p = [
    0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262, 0.5719, 0.6528, 0.759, 1,
  ];

  it('Benjamini and Hochberg 1995, section 4.1: four found, Bonferroni three (p-values read)', () => {
    expect(benjaminiHochberg(p).filter((q) => q <= 0.05).length).toBe(4);
    expect(bonferroni(p).filter((q) => q <= 0.05).length).toBe(3);
    expect(holm(p).filter((q) => q <= 0.05).length).toBe(3);
    expect(hochberg(p).filter((q) => q <= 0.05).length).toBe(3);
  });

  it('adjusted values as R’s p.adjust and scipy print them', () => {
    const expected = [
      0.0015, 0.003, 0.0095, 0.035625, 0.0603, 0.0638571429, 0.0638571429, 0.0645, 0.0765, 0.486, 0.5811818182,
      0.714875, 0.7532307692, 0.8132142857, 1,
    ];
    for (const [i, q] of benjaminiHochberg(p).entries()) expect(q).toBeCloseTo(expected[i]!, 9);
  });

  it('keeps the order given and refuses what is no probability', () => {
    expect(benjaminiHochberg([0.04, 0.01, 0.03])[1]).toBeCloseTo(0.03, 12);
    expect(holm([])).toEqual([]);
    expect(() => benjaminiHochberg([0.5, Number.NaN])).toThrow('from 0 to 1');
  });

  it('calls nothing in all-innocent families more often than it says (seeded)', () => {
    const random = seededRandom(7);
    let called = 0;
    for (let i = 0; i < 4000; i++) {
      const family = Array.from({ length: 20 }, () => random.uniform());
      if (Math.min(...benjaminiHochberg(family)) <= 0.05) called++;
    }
    expect(called / 4000).toBeGreaterThan(0.04);
    expect(called / 4000).toBeLessThan(0.06);
  });
});

describe('Fisher’s exact test', () => {
  const test = (hitsA: number, missesA: number, hitsB: number, missesB: number) =>
    fisherExact({ hitsA, missesA, hitsB, missesB });

  it('the lady tasting tea (Fisher 1935): one-sided 0.2429, two-sided 0.4857', () => {
    expect(test(3, 1, 1, 3).greater).toBeCloseTo(0.2428571429, 9);
    expect(test(3, 1, 1, 3).twoSided).toBeCloseTo(0.4857142857, 9);
  });

  it('tables of Fagerland and others 2017 (0,16/15,57 read as 0.06287; digits computed with R)', () => {
    expect(test(7, 27, 1, 33).twoSided).toBeCloseTo(0.0544001305, 9);
    expect(test(0, 16, 15, 57).twoSided).toBeCloseTo(0.0628666646, 9);
    expect(test(9, 4, 4, 10).twoSided).toBeCloseTo(0.0569826, 6);
  });

  it('Fisher’s twins (computed with R)', () => {
    expect(test(2, 10, 15, 3).twoSided).toBeCloseTo(0.0005367241, 9);
    expect(test(2, 10, 15, 3).less).toBeCloseTo(0.0004651809, 9);
  });

  it('is certain where nothing was hit', () => {
    expect(test(0, 5, 0, 9)).toEqual({ twoSided: 1, greater: 1, less: 1 });
    expect(() => test(-1, 5, 0, 9)).toThrow('whole');
  });
});

describe('logistic regression on Bliss’s beetles (Dobson; coefficients and deviance read)', () => {
  const dose = [1.6907, 1.7242, 1.7552, 1.7842, 1.8113, 1.8369, 1.861, 1.8839];
  const n = [59, 60, 62, 56, 63, 59, 62, 60];
  const killed = [6, 13, 18, 28, 52, 53, 61, 60];
  const rows = dose.map((x, i) => ({ hits: killed[i]!, n: n[i]!, x: [1, x] }));
  const fit = logisticRegression(rows);

  it('gives −60.717455 (5.180701) and 34.270326 (2.912134), deviance 11.232231, X² 10.02681759', () => {
    if (fit.kind !== 'fitted') throw new Error(fit.reason);
    expect(fit.coefficients[0]).toBeCloseTo(-60.71745456, 6);
    expect(fit.coefficients[1]).toBeCloseTo(34.27032573, 6);
    // R takes the errors one step before it has converged, hence four digits after the point.
    expect(fit.standardErrors[0]).toBeCloseTo(5.180701, 4);
    expect(fit.standardErrors[1]).toBeCloseTo(2.912134, 4);
    expect(fit.deviance).toBeCloseTo(11.232231, 5);
    expect(fit.pearson).toBeCloseTo(10.02681759, 5);
    [3.4575, 9.8417, 22.4514, 33.8976, 50.0958, 53.2909, 59.2222, 58.743].forEach((value, i) => {
      expect(fit.fitted[i]).toBeCloseTo(value, 3);
    });
  });

  it('says so when two values always go together, or a group has only hits', () => {
    expect(
      logisticRegression([
        { hits: 2, n: 5, x: [1, 1] },
        { hits: 3, n: 5, x: [1, 1] },
      ]).kind,
    ).toBe('not identified');
    const separated = [
      { hits: 0, n: 50, x: [1, 0] },
      { hits: 50, n: 50, x: [1, 1] },
    ];
    expect(logisticRegression(separated).kind).toBe('not identified');
    const held = logisticRegression(separated, [0, 0.1]);
    expect(held.kind === 'fitted' && held.coefficients[1]! > 3 && held.coefficients[1]! < 20).toBe(true);
    expect(logisticRegression([]).kind).toBe('not identified');
    expect(() => logisticRegression([{ hits: 6, n: 5, x: [1] }])).toThrow('6 of 5 hits');
  });
});

describe('what too little data answers', () => {
  it('the farm’s own prior needs five groups that differ', () => {
    expect(fitBetaBinomial([])).toMatchObject({ kind: 'not enough data', n: 0, needed: 5 });
    expect(fitBetaBinomial(new Array(10).fill({ hits: 0, n: 8 }))).toMatchObject({ kind: 'not enough data' });
    expect(fitBetaBinomial(new Array(10).fill({ hits: 8, n: 8 }))).toMatchObject({ kind: 'not enough data' });
    expect(fitBetaBinomial(new Array(10).fill({ hits: 0, n: 0 }))).toMatchObject({ kind: 'not enough data', n: 0 });
  });

  it('lots that vary no more than chance give a finite prior with almost no correlation', () => {
    const fit = found(fitBetaBinomial(new Array(50).fill({ hits: 1, n: 10 })));
    expect(fit.mean).toBeCloseTo(0.1, 4);
    expect(fit.correlation).toBeLessThan(0.001);
    expect(Number.isFinite(fit.a + fit.b)).toBe(true);
  });
});
