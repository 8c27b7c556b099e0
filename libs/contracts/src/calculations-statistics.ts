import {
  benjaminiHochberg,
  chanceHigher,
  fisherExact,
  fitBetaBinomial,
  highestRateWithoutHits,
  type IntervalMethod,
  intervalCensoredDistribution,
  kaplanMeier,
  logisticRegression,
  logRank,
  rateEstimate,
  requireCount,
  shrunkMeans,
  weibullFit,
} from '@jarfold/domain';
import { z } from 'zod';
import {
  betweenSchema,
  type Calculation,
  countSchema,
  daysSchema,
  defineCalculation,
  estimateOrNotSchema,
  estimateSchema,
  groupSchema,
  intervalSchema,
  levelSchema,
  notEnoughDataSchema,
} from './calculation.js';

const rateInput = z.strictObject({ hits: countSchema, n: countSchema, level: levelSchema });

const rateInterval = (name: string, method: IntervalMethod, purpose: string, source: string): Calculation =>
  defineCalculation({
    name,
    purpose,
    source,
    input: rateInput,
    output: estimateOrNotSchema,
    example: { hits: 7, n: 50 },
    run: ({ hits, n, level }) => rateEstimate(hits, n, method, level),
  });

const newcombe = 'Newcombe, Statistics in Medicine 17 (1998) 857–872';
const watchedSchema = z.array(z.strictObject({ days: daysSchema, ended: z.boolean() }));

const curveSchema = z.object({
  kind: z.literal('curve'),
  n: z.number(),
  events: z.number(),
  level: z.number(),
  steps: z.array(
    z.object({
      days: z.number(),
      atRisk: z.number(),
      ended: z.number(),
      survival: z.number(),
      standardError: z.number(),
      low: z.number().nullable(),
      high: z.number().nullable(),
    }),
  ),
  medianDays: z.number().nullable(),
  medianLowDays: z.number().nullable(),
  medianHighDays: z.number().nullable(),
  watchedDays: z.number(),
});

export const survivalCurveSchema = z.discriminatedUnion('kind', [curveSchema, notEnoughDataSchema]);

export const statisticsCalculations: readonly Calculation[] = [
  rateInterval('wilson-interval', 'wilson', 'A rate with Wilson’s interval, as screens show it.', newcombe),
  rateInterval(
    'clopper-pearson',
    'clopper-pearson',
    'A rate with the exact interval, which never claims too much.',
    newcombe,
  ),
  rateInterval(
    'jeffreys-interval',
    'jeffreys',
    'A rate with Jeffreys’ credible interval.',
    'Brown, Cai, DasGupta, Statistical Science 16 (2001) 101–133',
  ),
  defineCalculation({
    name: 'rate-without-hits',
    purpose: 'The highest rate still plausible when none of n was hit (rule of three).',
    source: 'Hanley and Lippman-Hand 1983; exact form 1 − (1 − level)^(1/n)',
    input: z.strictObject({ n: countSchema, level: levelSchema }),
    output: estimateOrNotSchema,
    example: { n: 105 },
    run: ({ n, level }) => highestRateWithoutHits(n, level),
  }),
  defineCalculation({
    name: 'chance-higher',
    purpose: 'The chance that one rate is higher than another, from the jars of both.',
    source: 'Beta distributions after Jeffreys’ prior, compared on the log-odds',
    input: z.strictObject({ one: groupSchema, other: groupSchema }),
    output: z.object({ chance: z.number() }),
    example: { one: { hits: 10, n: 25 }, other: { hits: 5, n: 25 } },
    run: ({ one, other }) => {
      requireCount(one.hits, one.n);
      requireCount(other.hits, other.n);
      const shapes = ({ hits, n }: { hits: number; n: number }) => ({ a: hits + 0.5, b: n - hits + 0.5 });
      return { chance: chanceHigher(shapes(one), shapes(other)) };
    },
  }),
  defineCalculation({
    name: 'beta-binomial-fit',
    purpose: 'How rates vary between groups: the farm’s own prior.',
    source: 'Gelman and others, Bayesian Data Analysis, chapter 5',
    input: z.strictObject({ groups: z.array(groupSchema) }),
    output: z.discriminatedUnion('kind', [
      z.object({
        kind: z.literal('fitted'),
        a: z.number(),
        b: z.number(),
        mean: z.number(),
        correlation: z.number(),
        logLikelihood: z.number(),
        groups: z.number(),
        jars: z.number(),
      }),
      notEnoughDataSchema,
    ]),
    example: { groups: [0, 1, 0, 3, 1, 0, 2, 5].map((hits) => ({ hits, n: 20 })) },
    run: ({ groups }) => fitBetaBinomial(groups),
  }),
  defineCalculation({
    name: 'fisher-exact',
    purpose: 'Whether chance alone explains two different rates.',
    source: 'Fisher 1935',
    input: z.strictObject({ hitsA: countSchema, missesA: countSchema, hitsB: countSchema, missesB: countSchema }),
    output: z.object({ twoSided: z.number(), greater: z.number(), less: z.number() }),
    example: { hitsA: 3, missesA: 1, hitsB: 1, missesB: 3 },
    run: (table) => fisherExact(table),
  }),
  defineCalculation({
    name: 'benjamini-hochberg',
    purpose: 'P-values adjusted so that the share of false calls stays low.',
    source: 'Benjamini and Hochberg, JRSS-B 57 (1995) 289–300',
    input: z.strictObject({ pValues: z.array(z.number().min(0).max(1)) }),
    output: z.object({ adjusted: z.array(z.number()) }),
    example: { pValues: [0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.324] },
    run: ({ pValues }) => ({ adjusted: [...benjaminiHochberg(pValues)] }),
  }),
  defineCalculation({
    name: 'logistic-regression',
    purpose: 'Rates explained by values: coefficients with errors; give the constant 1 as the first value.',
    source: 'Dobson, An Introduction to Generalized Linear Models; penalty on squares optional',
    input: z.strictObject({
      rows: z.array(z.strictObject({ hits: countSchema, n: countSchema, x: z.array(z.number()) })),
      penalties: z.array(z.number().min(0)).default([]),
    }),
    output: z.discriminatedUnion('kind', [
      z.object({
        kind: z.literal('fitted'),
        coefficients: z.array(z.number()),
        standardErrors: z.array(z.number()),
        fitted: z.array(z.number()),
        deviance: z.number(),
        pearson: z.number(),
        n: z.number(),
      }),
      z.object({ kind: z.literal('not identified'), reason: z.string() }),
    ]),
    example: {
      rows: [
        [1.6907, 59, 6],
        [1.7242, 60, 13],
        [1.7552, 62, 18],
        [1.7842, 56, 28],
        [1.8113, 63, 52],
        [1.8369, 59, 53],
        [1.861, 62, 61],
        [1.8839, 60, 60],
      ].map(([dose, n, hits]) => ({ hits: hits!, n: n!, x: [1, dose!] })),
    },
    run: ({ rows, penalties }) => {
      const fit = logisticRegression(rows, penalties);
      if (fit.kind !== 'fitted') return fit;
      const { kind, coefficients, standardErrors, fitted, deviance, pearson, n } = fit;
      return {
        kind,
        coefficients: [...coefficients],
        standardErrors: [...standardErrors],
        fitted: [...fitted],
        deviance,
        pearson,
        n,
      };
    },
  }),
  defineCalculation({
    name: 'kaplan-meier',
    purpose: 'Share still good after each day, with jars that were used counted as long as they were watched.',
    source: 'Kaplan and Meier, JASA 53 (1958); Greenwood’s variance; interval on the log(−log) scale',
    input: z.strictObject({ watched: watchedSchema, level: levelSchema }),
    output: survivalCurveSchema,
    example: {
      watched: [
        { days: 6, ended: true },
        { days: 6, ended: false },
        { days: 9, ended: false },
        { days: 13, ended: true },
      ],
    },
    run: ({ watched, level }) => {
      const curve = kaplanMeier(watched, level);
      return curve.kind === 'curve' ? { ...curve, steps: [...curve.steps] } : curve;
    },
  }),
  defineCalculation({
    name: 'log-rank',
    purpose: 'Whether two sets of jars end at the same pace.',
    source: 'Mantel 1966',
    input: z.strictObject({ a: watchedSchema, b: watchedSchema }),
    output: z.discriminatedUnion('kind', [
      z.object({
        kind: z.literal('compared'),
        observedA: z.number(),
        expectedA: z.number(),
        observedB: z.number(),
        expectedB: z.number(),
        chiSquare: z.number(),
        pValue: z.number(),
      }),
      notEnoughDataSchema,
    ]),
    example: {
      a: [
        { days: 6, ended: true },
        { days: 9, ended: false },
      ],
      b: [
        { days: 2, ended: true },
        { days: 3, ended: true },
      ],
    },
    run: ({ a, b }) => logRank(a, b),
  }),
  defineCalculation({
    name: 'interval-censored-npmle',
    purpose: 'Distribution of days when each jar is only known to have changed between two looks.',
    source: 'Turnbull, JRSS-B 38 (1976); checked on Fay and Shaw, J. Stat. Software 36(2), 2010',
    input: z.strictObject({ times: z.array(betweenSchema) }),
    output: z.discriminatedUnion('kind', [
      z.object({
        kind: z.literal('distribution'),
        masses: z.array(z.object({ afterDays: z.number(), byDays: z.number().nullable(), share: z.number() })),
        logLikelihood: z.number(),
        n: z.number(),
        residual: z.number(),
      }),
      notEnoughDataSchema,
    ]),
    example: {
      times: [
        { afterDays: 9, byDays: 12 },
        { afterDays: 10, byDays: 14 },
        { afterDays: 12, byDays: null },
      ],
    },
    run: ({ times }) => {
      const result = intervalCensoredDistribution(times);
      return result.kind === 'distribution' ? { ...result, masses: [...result.masses] } : result;
    },
  }),
  defineCalculation({
    name: 'weibull-fit',
    purpose: 'Weibull distribution of times, from exact, censored and bracketed days together.',
    source: 'NIST/SEMATECH e-Handbook 8.4.1.3',
    input: z.strictObject({ times: z.array(betweenSchema), level: levelSchema }),
    output: z.discriminatedUnion('kind', [
      z.object({
        kind: z.literal('fitted'),
        shape: z.number(),
        scaleDays: z.number(),
        shapeInterval: intervalSchema,
        scaleInterval: intervalSchema,
        meanDays: z.number(),
        deviationDays: z.number(),
        logLikelihood: z.number(),
        n: z.number(),
        events: z.number(),
      }),
      notEnoughDataSchema,
    ]),
    example: {
      times: [
        ...[54, 187, 216, 240, 244, 335, 361, 373, 375, 386].map((days) => ({ afterDays: days, byDays: days })),
        { afterDays: 500, byDays: null, count: 10 },
      ],
    },
    run: ({ times, level }) => weibullFit(times, level),
  }),
  defineCalculation({
    name: 'shrunk-means',
    purpose: 'Means of several groups, each drawn toward the common mean as far as its scatter deserves.',
    source: 'Efron and Morris, Scientific American 236 (1977); Morris 1983',
    input: z.strictObject({
      groups: z.array(
        z.strictObject({ key: z.string(), mean: z.number(), n: countSchema, variance: z.number().gt(0) }),
      ),
      startMean: z.number(),
      startVariance: z.number().gt(0),
      level: levelSchema,
    }),
    output: z.object({
      means: z.array(z.object({ key: z.string(), observed: z.number(), pull: z.number(), shrunk: estimateSchema })),
    }),
    example: {
      groups: [0.4, 0.36, 0.3, 0.25, 0.2].map((mean, i) => ({ key: `group ${i + 1}`, mean, n: 45, variance: 0.0043 })),
      startMean: 0.27,
      startVariance: 0.01,
    },
    run: ({ groups, startMean, startVariance, level }) => ({
      means: [...shrunkMeans(groups, { mean: startMean, variance: startVariance }, level)],
    }),
  }),
];
