import {
  type AcceptableLimit,
  acceptableLimits,
  attribute,
  chanceTaken,
  checksToFind,
  contaminationHazard,
  cusum,
  type JarFate,
  jarBalance,
  lineageOf,
  type RunRule,
  rateChart,
  rateEwma,
  recall,
  runRules,
  runSignals,
  type Seen,
  shrunkRates,
  smallestPlan,
  standardPlan,
  suspicion,
} from '@jarfold/domain';
import { z } from 'zod';
import {
  type Calculation,
  countSchema,
  daysSchema,
  defineCalculation,
  estimateOrNotSchema,
  estimateSchema,
  fractionSchema,
  groupSchema,
  keyedGroupSchema,
  levelSchema,
  massSchema,
  notEnoughDataSchema,
} from './calculation.js';

const pointSchema = groupSchema.extend({ label: z.string() });
const signalSchema = z.enum(['above', 'below']).nullable();
const factorsSchema = z.record(z.string(), z.string().nullable());
const memberSchema = z.object({ factor: z.string(), level: z.string() });
const relativeSchema = z.array(z.object({ code: z.string(), steps: z.number() }));
const lineageSchema = z.array(z.strictObject({ code: z.string().min(1), mothers: z.array(z.string().min(1)) }));
const fateSchema = z.enum([
  'incubating',
  'ripe',
  'chilled',
  'opened',
  'used',
  'contaminated',
  'discarded',
  'aged out',
  'handed over',
] satisfies JarFate[]);

const ruleSchema = z.enum([...runRules] as [RunRule, ...RunRule[]]);
const riskSchema = z.strictObject({ badShare: z.number().gt(0).lt(1), chance: z.number().gt(0).lt(1) });

const sixWeeksTwice = [3, 2, 4, 3, 1, 5, 2, 3, 14, 2].map((hits, i) => ({ label: `week ${i + 1}`, hits, n: 40 }));
const family = [
  { code: 'G1/a', mothers: ['plate'] },
  { code: 'G2/a', mothers: ['G1/a'] },
  { code: 'G2/b', mothers: ['G1/a'] },
];

export const contaminationCalculations: readonly Calculation[] = [
  defineCalculation({
    name: 'laney-p-chart',
    purpose: 'Which weeks are outside what chance and the farm’s ordinary ups and downs explain.',
    source: 'Laney, Quality Engineering 14 (2002); NIST/SEMATECH 6.3.3.2',
    input: z.strictObject({
      points: z.array(pointSchema),
      method: z.enum(['laney', 'p']).default('laney'),
      baselinePoints: countSchema.optional(),
    }),
    output: z.discriminatedUnion('kind', [
      z.object({
        kind: z.literal('chart'),
        method: z.enum(['laney', 'p']),
        centre: z.number(),
        sigmaZ: z.number(),
        points: z.array(
          pointSchema.extend({ rate: z.number(), lowLimit: z.number(), highLimit: z.number(), signal: signalSchema }),
        ),
        signals: z.array(z.object({ label: z.string(), side: z.enum(['above', 'below']), sentence: z.string() })),
        n: z.number(),
      }),
      notEnoughDataSchema,
    ]),
    example: { points: sixWeeksTwice },
    run: ({ points, method, baselinePoints }) => {
      const chart = rateChart(points, { method, ...(baselinePoints === undefined ? {} : { baselinePoints }) });
      return chart.kind === 'chart' ? { ...chart, points: [...chart.points], signals: [...chart.signals] } : chart;
    },
  }),
  defineCalculation({
    name: 'ewma-chart',
    purpose: 'A running average of weekly rates that finds a small lasting shift.',
    source: 'NIST/SEMATECH 6.3.2.4; Lucas and Saccucci 1990',
    input: z.strictObject({
      points: z.array(pointSchema),
      centre: z.number().gt(0).lt(1),
      sigmaZ: z.number().gt(0).default(1),
      lambda: z.number().gt(0).max(1).default(0.1),
      width: z.number().gt(0).default(2.7),
    }),
    output: z.discriminatedUnion('kind', [
      z.object({
        kind: z.literal('chart'),
        centre: z.number(),
        points: z.array(
          pointSchema.extend({
            average: z.number(),
            lowLimit: z.number(),
            highLimit: z.number(),
            signal: signalSchema,
          }),
        ),
      }),
      notEnoughDataSchema,
    ]),
    example: { points: sixWeeksTwice, centre: 0.075 },
    run: ({ points, centre, sigmaZ, lambda, width }) => {
      const chart = rateEwma(points, centre, sigmaZ, { lambda, width });
      return chart.kind === 'chart' ? { ...chart, points: [...chart.points] } : chart;
    },
  }),
  defineCalculation({
    name: 'cusum-chart',
    purpose: 'Cumulative sums: the quickest finder of a shift of a known size, and of when it began.',
    source: 'NIST/SEMATECH 6.3.2.3',
    input: z.strictObject({
      values: z.array(z.number()),
      target: z.number(),
      slack: z.number().min(0),
      decision: z.number().gt(0),
    }),
    output: z.object({
      points: z.array(
        z.object({
          above: z.number(),
          below: z.number(),
          risingFor: z.number(),
          fallingFor: z.number(),
          signal: signalSchema,
        }),
      ),
    }),
    example: { values: [9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 11.46, 12.29], target: 10, slack: 0.5, decision: 5 },
    run: ({ values, ...settings }) => ({ points: [...cusum(values, settings)] }),
  }),
  defineCalculation({
    name: 'shrunk-rates',
    purpose:
      'Rates of many lots, cycles or mothers, each drawn toward the farm’s own rate as far as its few jars deserve.',
    source: 'Gelman and others, Bayesian Data Analysis, chapter 5',
    input: z.strictObject({
      groups: z.array(keyedGroupSchema),
      publishedRate: z.number().gt(0).lt(1),
      publishedJars: z.number().gt(0),
      level: levelSchema,
    }),
    output: z.object({
      prior: z.object({ mean: z.number(), jars: z.number(), from: z.enum(['own groups', 'published']) }),
      rates: z.array(keyedGroupSchema.extend({ observed: estimateOrNotSchema, shrunk: estimateSchema })),
    }),
    example: {
      groups: [0, 1, 0, 3, 1, 0].map((hits, i) => ({ key: `lot ${i + 1}`, hits, n: 8 })),
      publishedRate: 0.1,
      publishedJars: 20,
    },
    run: ({ groups, publishedRate, publishedJars, level }) => {
      const { prior, rates } = shrunkRates(groups, { mean: publishedRate, jars: publishedJars }, level);
      return {
        prior: { mean: prior.mean, jars: prior.jars, from: prior.from },
        rates: rates.map((rate) => ({ ...rate })),
      };
    },
  }),
  defineCalculation({
    name: 'contamination-hazard',
    purpose:
      'When contamination shows, by days since inoculation, with clean and used jars counted as long as they were watched.',
    source: 'Life table; exact Poisson intervals after Garwood 1936',
    input: z.strictObject({
      jars: z.array(z.strictObject({ days: daysSchema, contaminated: z.boolean() })),
      edgesDays: z.array(daysSchema).min(2).default([0, 4, 8, 12, 16, 21, 28]),
      level: levelSchema,
    }),
    output: z.discriminatedUnion('kind', [
      z.object({
        kind: z.literal('hazard'),
        n: z.number(),
        contaminated: z.number(),
        bands: z.array(
          z.object({
            fromDay: z.number(),
            toDay: z.number(),
            jarDays: z.number(),
            contaminated: z.number(),
            perJarDay: estimateOrNotSchema,
            contaminatedByEnd: z.number(),
          }),
        ),
      }),
      notEnoughDataSchema,
    ]),
    example: {
      jars: [
        { days: 3, contaminated: true },
        { days: 14, contaminated: false },
        { days: 15, contaminated: false },
      ],
    },
    run: ({ jars, edgesDays, level }) => {
      const hazard = contaminationHazard(jars, edgesDays, level);
      return hazard.kind === 'hazard' ? { ...hazard, bands: [...hazard.bands] } : hazard;
    },
  }),
  defineCalculation({
    name: 'attribution',
    purpose:
      'Which factors explain an excess of contamination, all at once; sets that cannot be told apart; what is too rare to tell.',
    source:
      'Penalised logistic regression with weighted step-down tests; simulated in tests/reference/attribution.test.ts',
    input: z.strictObject({
      lots: z.array(
        z.strictObject({ id: z.string(), contaminated: countSchema, jars: countSchema, factors: factorsSchema }),
      ),
      blanks: z
        .array(z.strictObject({ contaminated: countSchema, jars: countSchema, factors: factorsSchema }))
        .default([]),
      falseAlarm: z.number().gt(0).lt(1).default(0.03),
      level: levelSchema,
    }),
    output: z.discriminatedUnion('kind', [
      z.object({
        kind: z.literal('attribution'),
        lots: z.number(),
        jars: z.number(),
        blanks: z.number(),
        rate: estimateSchema,
        lotCorrelation: z.number(),
        causes: z.array(
          z.object({
            members: z.array(memberSchema),
            oddsRatio: estimateSchema,
            rate: estimateSchema,
            excessJars: z.number(),
            lots: z.number(),
            jars: z.number(),
            pValue: z.number(),
            falseDiscovery: z.number(),
          }),
        ),
        levels: z.array(
          memberSchema.extend({
            lots: z.number(),
            jars: z.number(),
            contaminated: z.number(),
            verdict: z.enum(['explains', 'cannot be told apart', 'suspected', 'no sign', 'not enough data']),
            oddsRatio: estimateOrNotSchema,
            smallestTellable: z.number().nullable(),
          }),
        ),
      }),
      notEnoughDataSchema,
    ]),
    example: {
      lots: Array.from({ length: 40 }, (_, i) => ({
        id: `lot ${i + 1}`,
        contaminated: i % 4 === 0 ? 3 : i % 2,
        jars: 10,
        factors: { operator: i % 4 === 0 ? 'A' : 'B', room: i % 3 === 0 ? 'north' : 'south' },
      })),
    },
    run: ({ lots, blanks, falseAlarm, level }) => {
      const result = attribute(lots, blanks, { falseAlarm, level });
      if (result.kind !== 'attribution') return result;
      return {
        ...result,
        causes: result.causes.map((cause) => ({ ...cause, members: [...cause.members] })),
        levels: [...result.levels],
      };
    },
  }),
  defineCalculation({
    name: 'checks-to-find',
    purpose: 'How many jars of a lot to look at so that a bad one is seen.',
    source: 'Hypergeometric distribution; Cannon and Roe’s tables',
    input: z.strictObject({
      lotJars: z.int().min(1),
      badJars: z.int().min(1),
      confidence: z.number().gt(0).lt(1).default(0.95),
    }),
    output: z.object({ looks: z.number() }),
    example: { lotJars: 100, badJars: 5 },
    run: ({ lotJars, badJars, confidence }) => ({ looks: checksToFind(lotJars, badJars, confidence) }),
  }),
  defineCalculation({
    name: 'run-rules',
    purpose: 'Patterns in a series that chance seldom makes, such as eight values on one side.',
    source: 'Western Electric, Statistical Quality Control Handbook (1956); Champ and Woodall 1987',
    input: z.strictObject({
      values: z.array(z.number()),
      centre: z.number(),
      sigma: z.number().gt(0),
      rules: z
        .array(ruleSchema)
        .min(1)
        .default([...runRules]),
    }),
    output: z.object({
      signals: z.array(z.object({ at: z.number(), rule: ruleSchema, side: z.enum(['above', 'below']) })),
    }),
    example: { values: [2, 1, 3, 2, 7, 1, 6.5], centre: 2.5, sigma: 1.5 },
    run: ({ values, centre, sigma, rules }) => ({
      signals: runSignals(
        values.map((value) => (value - centre) / sigma),
        rules,
      ),
    }),
  }),
  defineCalculation({
    name: 'sampling-plan',
    purpose: 'How to look at a lot that was bought: how many jars, and how many bad ones it may have.',
    source: 'ISO 2859-1 (MIL-STD-105E), normal inspection, general level II',
    input: z.strictObject({
      lotJars: z.int().min(26).max(10_000),
      acceptableBadPercent: z.literal([...acceptableLimits]),
    }),
    output: z.object({
      code: z.string(),
      looks: z.number(),
      accept: z.number(),
      operatingCurve: z.array(z.object({ badShare: z.number(), chanceTaken: z.number() })),
    }),
    example: { lotJars: 2000, acceptableBadPercent: 0.65 },
    run: ({ lotJars, acceptableBadPercent }) => {
      const plan = standardPlan(lotJars, acceptableBadPercent satisfies AcceptableLimit);
      const curve = [0.01, 0.02, 0.05, 0.1, 0.2].map((badShare) => ({
        badShare,
        chanceTaken: chanceTaken(plan, badShare),
      }));
      return { ...plan, operatingCurve: curve };
    },
  }),
  defineCalculation({
    name: 'smallest-sampling-plan',
    purpose: 'The shortest look that takes good lots and turns bad ones away, each with a chance.',
    source: 'Two-point design on the binomial operating curve; manual of R’s AcceptanceSampling',
    input: z.strictObject({ good: riskSchema, bad: riskSchema }),
    output: z.object({ looks: z.number(), accept: z.number() }),
    example: { good: { badShare: 0.05, chance: 0.95 }, bad: { badShare: 0.15, chance: 0.075 } },
    run: ({ good, bad }) => smallestPlan(good, bad),
  }),
  defineCalculation({
    name: 'recall',
    purpose: 'Every relative of a jar: what it came from, what came from it, and its sisters.',
    source: 'Breadth-first walk of the lineage',
    input: z.strictObject({ jars: lineageSchema, asked: z.array(z.string().min(1)).min(1) }),
    output: z.object({
      asked: z.array(z.string()),
      ancestors: relativeSchema,
      descendants: relativeSchema,
      siblings: z.array(z.string()),
    }),
    example: { jars: family, asked: ['G2/a'] },
    run: ({ jars, asked }) => {
      const found = recall(lineageOf(jars), asked);
      return {
        asked: [...found.asked],
        ancestors: [...found.ancestors],
        descendants: [...found.descendants],
        siblings: [...found.siblings],
      };
    },
  }),
  defineCalculation({
    name: 'suspicion',
    purpose: 'How suspect each jar is: bad children point back to their mother, a bad mother to all her children.',
    source: 'Message passing after Pearl 1988; exact for jars with one mother',
    input: z.strictObject({
      jars: lineageSchema,
      seen: z.record(z.string(), z.enum(['bad', 'good'] satisfies Seen[])),
      ownRisk: z.number().gt(0).lt(1).default(0.1),
      passesOn: z.number().gt(0).lt(1).default(0.9),
      hiddenRisk: z.number().gt(0).lt(1).default(0.02),
    }),
    output: z.object({
      jars: z.array(
        z.object({
          code: z.string(),
          suspicion: fractionSchema,
          usual: fractionSchema,
          childrenSeen: z.number(),
          childrenBad: z.number(),
        }),
      ),
    }),
    example: { jars: family, seen: { 'G2/a': 'bad' } },
    run: ({ jars, seen, ...settings }) => ({
      jars: [...suspicion(lineageOf(jars), new Map(Object.entries(seen)), settings)],
    }),
  }),
  defineCalculation({
    name: 'jar-balance',
    purpose: 'Every jar and gram accounted for: made = drawn + left + discarded.',
    source: 'Conservation of mass',
    input: z.strictObject({
      jars: z.array(
        z.strictObject({
          code: z.string(),
          fate: fateSchema,
          madeG: massSchema,
          drawnG: massSchema,
          leftG: massSchema,
          discardedG: massSchema,
        }),
      ),
    }),
    output: z.object({
      jars: z.number(),
      present: z.number(),
      gone: z.number(),
      byFate: z.partialRecord(fateSchema, z.number()),
      madeG: z.number(),
      drawnG: z.number(),
      leftG: z.number(),
      discardedG: z.number(),
      unaccountedG: z.number(),
      unbalanced: z.array(z.object({ code: z.string(), unaccountedG: z.number() })),
    }),
    example: { jars: [{ code: 'OY3-26W48-2/07', fate: 'used', madeG: 500, drawnG: 480, leftG: 0, discardedG: 20 }] },
    run: ({ jars }) => {
      const balance = jarBalance(jars);
      return { ...balance, unbalanced: [...balance.unbalanced] };
    },
  }),
];
