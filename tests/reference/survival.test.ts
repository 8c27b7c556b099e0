import {
  type Between,
  intervalCensoredDistribution,
  intervalCensoredQuantile,
  kaplanMeier,
  logRank,
  type NotEnoughData,
  restrictedMean,
  seededRandom,
  survivalAt,
  type Watched,
  weibullFit,
  weibullQuantile,
  weibullSurvival,
} from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';

const found = <T extends { kind: string }>(result: T | NotEnoughData): T => {
  if (result.kind === 'not enough data') throw new Error((result as NotEnoughData).reason);
  return result as T;
};
const watched = (ended: readonly number[], stillGood: readonly number[]): Watched[] => [
  ...ended.map((days) => ({ days, ended: true })),
  ...stillGood.map((days) => ({ days, ended: false })),
];

/** Freireich's leukaemia trial: Le, Introductory Biostatistics, example 11.1 (data read); also R MASS::gehan. */
const treated = watched([6, 6, 6, 7, 10, 13, 16, 22, 23], [6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35]);
const untreated = watched([1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23], []);

describe('Kaplan–Meier with Greenwood on Freireich’s 6-MP data', () => {
  const curve = found(kaplanMeier(treated));

  it.each([
    [6, 21, 3, 0.8571428571, 0.0763603548, 0.619718, 0.951552],
    [7, 17, 1, 0.8067226891, 0.0869352853, 0.563147, 0.922809],
    [10, 15, 1, 0.7529411765, 0.096349653, 0.5032, 0.889362],
    [13, 12, 1, 0.6901960784, 0.1068147078, 0.43161, 0.849066],
    [16, 11, 1, 0.6274509804, 0.1140538653, 0.367511, 0.804912],
    [22, 7, 1, 0.5378151261, 0.1282337518, 0.267779, 0.746791],
    [23, 6, 1, 0.4481792717, 0.1345914568, 0.188052, 0.680143],
  ])(
    'day %i: %i at risk, %i ended (curve to 3 digits from memory, all digits computed with R survival 3.5)',
    (days, atRisk, ended, s, se, low, high) => {
      const step = curve.steps.find((each) => each.days === days)!;
      expect(step).toMatchObject({ atRisk, ended });
      expect(step.survival).toBeCloseTo(s, 9);
      expect(step.standardError).toBeCloseTo(se, 9);
      expect(step.low).toBeCloseTo(low, 5);
      expect(step.high).toBeCloseTo(high, 5);
    },
  );

  it('median 23 with interval from 13 and no upper end; placebo median 8; mean up to day 35 is 23.287 (se 2.827)', () => {
    expect(curve).toMatchObject({ medianDays: 23, medianLowDays: 13, medianHighDays: null, n: 21, events: 9 });
    expect(found(kaplanMeier(untreated)).medianDays).toBe(8);
    expect(restrictedMean(curve, 35).days).toBeCloseTo(23.287395, 5);
    expect(restrictedMean(curve, 35).standardError).toBeCloseTo(2.827468, 5);
  });

  it('log-rank χ² 16.792941 with expected 19.2505 and 10.7495 (computed with R)', () => {
    const test = found(logRank(treated, untreated));
    expect(test.observedA).toBe(9);
    expect(test.expectedA).toBeCloseTo(19.250501, 5);
    expect(test.expectedB).toBeCloseTo(10.749499, 5);
    expect(test.chiSquare).toBeCloseTo(16.792941, 5);
    expect(test.pValue).toBeLessThan(1e-4);
  });

  it('without censoring is one minus the empirical distribution; with only censoring stays at 1', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 60 }), { minLength: 1, maxLength: 80 }), (days) => {
        const full = found(kaplanMeier(watched(days, [])));
        for (const day of [0, 10, 30, 60]) {
          const beyond = days.filter((each) => each > day).length / days.length;
          expect(survivalAt(full, day)).toBeCloseTo(beyond, 9);
        }
        const none = found(kaplanMeier(watched([], days)));
        expect(none.steps).toEqual([]);
        expect(survivalAt(none, 0)).toBe(1);
        expect(survivalAt(none, 1000)).toBeNull();
      }),
      { numRuns: 40 },
    );
  });

  it('does not speak beyond what was watched, and answers nothing for no jars', () => {
    expect(survivalAt(curve, 36)).toBeNull();
    expect(survivalAt(curve, 35)).toBeCloseTo(0.4481792717, 9);
    expect(kaplanMeier([])).toMatchObject({ kind: 'not enough data' });
    expect(logRank(treated, [])).toMatchObject({ kind: 'not enough data' });
    expect(() => kaplanMeier([{ days: -1, ended: true }])).toThrow('0 days or more');
    expect(() => kaplanMeier([{ days: Number.NaN, ended: true }])).toThrow('0 days or more');
  });
});

describe('Weibull fit', () => {
  const exact = (days: number): Between => ({ afterDays: days, byDays: days });
  const beyond = (days: number, count = 1): Between => ({ afterDays: days, byDays: null, count });

  it('NIST 8.4.1.3 (read): shape 1.7208, scale 606.5280, −logL 75.135, mean 540.737, deviation 323.806', () => {
    const fit = found(weibullFit([...[54, 187, 216, 240, 244, 335, 361, 373, 375, 386].map(exact), beyond(500, 10)]));
    expect(fit.shape).toBeCloseTo(1.7207973, 4);
    expect(fit.scaleDays).toBeCloseTo(606.527558, 2);
    expect(fit.logLikelihood).toBeCloseTo(-75.1346182, 5);
    expect(fit.meanDays).toBeCloseTo(540.737, 1);
    expect(fit.deviationDays).toBeCloseTo(323.806, 1);
    expect(fit).toMatchObject({ n: 20, events: 10 });
  });

  it('Freireich’s treated group: shape 1.353735, scale 33.765151, logL −41.658678 (computed with R)', () => {
    const fit = found(weibullFit(treated.map(({ days, ended }) => (ended ? exact(days) : beyond(days)))));
    expect(fit.shape).toBeCloseTo(1.353735, 4);
    expect(fit.scaleDays).toBeCloseTo(33.765151, 3);
    expect(fit.logLikelihood).toBeCloseTo(-41.658678, 5);
  });

  it('holds the true median in about 95 of 100 seeded samples with checks every few days', () => {
    const random = seededRandom(11);
    const truth = 20 * Math.LN2 ** (1 / 3);
    let held = 0;
    for (let i = 0; i < 200; i++) {
      const times = Array.from({ length: 60 }, () => {
        const days = 20 * (-Math.log(1 - random.uniform())) ** (1 / 3);
        const after = Math.floor(days / 3) * 3;
        return days > 24 ? beyond(24) : { afterDays: after, byDays: after + 3 };
      });
      const median = weibullQuantile(found(weibullFit(times)), 0.5);
      if (median.low <= truth && truth <= median.high) held++;
    }
    expect(held).toBeGreaterThanOrEqual(182);
    expect(held).toBeLessThanOrEqual(198);
  });

  it('counts a repeated time as often as it is said to have happened', () => {
    const one = found(weibullFit([3, 3, 5, 8, 8, 8].map(exact)));
    const counted = found(weibullFit([{ ...exact(3), count: 2 }, exact(5), { ...exact(8), count: 3 }]));
    expect(counted.shape).toBeCloseTo(one.shape, 5);
    expect(counted.n).toBe(6);
    expect(weibullSurvival(counted.scaleDays, counted.shape, counted.scaleDays)).toBeCloseTo(Math.exp(-1), 9);
  });

  it('says "not enough data" for two events, none, or all alike, and refuses impossible times', () => {
    expect(weibullFit([exact(3), exact(4)])).toMatchObject({ kind: 'not enough data', n: 2 });
    expect(weibullFit([beyond(30, 50)])).toMatchObject({ kind: 'not enough data', n: 0 });
    expect(weibullFit(new Array(5).fill(exact(7)))).toMatchObject({ kind: 'not enough data' });
    expect(() => weibullFit([{ afterDays: 9, byDays: 4 }])).toThrow('no earlier than it begins');
    expect(() => weibullFit([{ afterDays: Number.NaN, byDays: 4 }])).toThrow('0 days or more');
  });
});

/** Finkelstein's breast cosmesis data, radiotherapy arm, (L, R] in months; `.` after the sign means no right end. */
const cosmesis =
  '45. 6-10 0-7 46. 46. 7-16 17. 7-14 37-44 0-8 4-11 15. 11-15 22. 46. 46. 25-37 46. 26-40 46. 27-34 36-44 46. 36-48 37. 40. 17-25 46. 11-18 38. 5-12 37. 0-5 18. 24. 36. 5-11 19-35 17-25 24. 32. 33. 19-26 37. 34. 36.'
    .split(' ')
    .map((text): Between => {
      const [after, by] = text.replace('.', '').split('-').map(Number);
      return { afterDays: after!, byDays: by ?? null };
    });

describe('interval-censored distribution (Turnbull), Fay and Shaw, Journal of Statistical Software 2010 (probabilities read)', () => {
  it('radiotherapy arm of the cosmesis data, 46 patients', () => {
    expect(cosmesis.length).toBe(46);
    const result = found(intervalCensoredDistribution(cosmesis));
    const printed: readonly (readonly [number, number, number])[] = [
      [4, 5, 0.046347],
      [6, 7, 0.033363],
      [7, 8, 0.088667],
      [11, 12, 0.070753],
      [24, 25, 0.092646],
      [33, 34, 0.081786],
      [38, 40, 0.12088],
      [46, 48, 0.465558],
    ];
    expect(result.masses.length).toBe(printed.length);
    printed.forEach(([afterDays, byDays, share], i) => {
      expect(result.masses[i]).toMatchObject({ afterDays, byDays });
      expect(result.masses[i]!.share).toBeCloseTo(share, 4);
    });
    expect(result.logLikelihood).toBeCloseTo(-58.060022, 5);
    expect(result.residual).toBeLessThan(1e-6);
    expect(intervalCensoredQuantile(result, 0.5)).toBe(40);
  });

  it('parametric Weibull of the same arm: shape 1.121613, scale 57.513096, logL −64.731471 (computed with R survreg)', () => {
    const fit = found(weibullFit(cosmesis));
    expect(fit.shape).toBeCloseTo(1.121613, 4);
    expect(fit.scaleDays).toBeCloseTo(57.513096, 2);
    expect(fit.logLikelihood).toBeCloseTo(-64.731471, 5);
    expect(weibullSurvival(24, fit.shape, fit.scaleDays)).toBeCloseTo(0.687138, 5);
  });

  it('is the empirical distribution for exact days, and Kaplan–Meier with right-censored ones', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 1, max: 15 }), fc.boolean()), { minLength: 2, maxLength: 25 }),
        (jars) => {
          const times = jars.map(([days, ended]): Between => ({ afterDays: days, byDays: ended ? days : null }));
          const result = found(intervalCensoredDistribution(times));
          expect(result.residual).toBeLessThan(1e-6);
          const curve = found(kaplanMeier(jars.map(([days, ended]) => ({ days, ended }))));
          for (const { days, survival } of curve.steps) {
            const gone = result.masses.reduce(
              (sum, m) => sum + (m.byDays !== null && m.byDays <= days ? m.share : 0),
              0,
            );
            expect(1 - gone).toBeCloseTo(survival, 4);
          }
        },
      ),
      { numRuns: 40 },
    );
  });

  it('sums to one, and is at the maximum, on random checks', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 0, max: 20 }), fc.integer({ min: 0, max: 8 })), {
          minLength: 1,
          maxLength: 40,
        }),
        (jars) => {
          const times = jars.map(
            ([after, length]): Between => ({ afterDays: after, byDays: length === 0 ? null : after + length }),
          );
          const result = found(intervalCensoredDistribution(times));
          expect(result.masses.reduce((sum, mass) => sum + mass.share, 0)).toBeCloseTo(1, 4);
          expect(result.residual).toBeLessThan(1e-5);
        },
      ),
      { numRuns: 60 },
    );
  });
});
