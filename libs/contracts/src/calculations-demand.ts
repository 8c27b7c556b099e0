import {
  croston,
  demandForecast,
  type ForecastMethod,
  fitHolt,
  fitSimpleSmoothing,
  type MarginalCosts,
  meanAbsoluteScaledError,
  newsvendor,
  orderSize,
  safetyStock,
  silverMeal,
  tsb,
  wagnerWhitin,
} from '@jarfold/domain';
import { z } from 'zod';
import {
  type Calculation,
  defineCalculation,
  estimateSchema,
  levelSchema,
  massSchema,
  notEnoughDataSchema,
} from './calculation.js';

const seriesSchema = z.array(z.number().min(0));
const intermittentSchema = z.object({ perPeriod: z.number(), size: z.number(), intervalOrChance: z.number() });
const methodSchema = z.enum(['mean', 'last', 'simple', 'trend', 'intermittent', 'fading'] satisfies ForecastMethod[]);

export const demandCalculations: readonly Calculation[] = [
  defineCalculation({
    name: 'simple-smoothing',
    purpose: 'Next value of a series without a trend.',
    source: 'Hyndman and Athanasopoulos, Forecasting: Principles and Practice',
    input: z.strictObject({ values: z.array(z.number()).min(3) }),
    output: z.object({ forecast: z.number(), alpha: z.number(), start: z.number(), rootMeanSquare: z.number() }),
    example: { values: [445.36, 453.2, 454.41, 422.38, 456.04, 440.39, 425.19, 486.21] },
    run: ({ values }) => {
      const { level, alpha, start, rootMeanSquare } = fitSimpleSmoothing(values);
      return { forecast: level, alpha, start, rootMeanSquare };
    },
  }),
  defineCalculation({
    name: 'holt',
    purpose: 'Next values of a series with a trend.',
    source: 'Holt 1957; Hyndman and Athanasopoulos',
    input: z.strictObject({ values: z.array(z.number()).min(5), ahead: z.int().min(1).max(52).default(1) }),
    output: z.object({
      forecast: z.array(z.number()),
      alpha: z.number(),
      beta: z.number(),
      level: z.number(),
      trend: z.number(),
      rootMeanSquare: z.number(),
    }),
    example: { values: [17.55, 21.86, 23.89, 26.93, 26.89, 28.83, 30.08, 30.95], ahead: 3 },
    run: ({ values, ahead }) => {
      const { level, trend, alpha, beta, rootMeanSquare } = fitHolt(values);
      return {
        forecast: Array.from({ length: ahead }, (_, i) => level + (i + 1) * trend),
        alpha,
        beta,
        level,
        trend,
        rootMeanSquare,
      };
    },
  }),
  defineCalculation({
    name: 'croston',
    purpose: 'Mean demand per period of a series with empty periods.',
    source: 'Croston 1972; correction of Syntetos and Boylan 2005',
    input: z.strictObject({
      values: seriesSchema,
      alpha: z.number().gt(0).max(1).default(0.1),
      correction: z.enum(['none', 'sba']).default('none'),
    }),
    output: intermittentSchema,
    example: { values: [0, 5, 0, 0, 4, 0, 7] },
    run: ({ values, alpha, correction }) => croston(values, alpha, correction),
  }),
  defineCalculation({
    name: 'tsb',
    purpose: 'Mean demand per period of a series that may have stopped.',
    source: 'Teunter, Syntetos and Babai, EJOR 214 (2011)',
    input: z.strictObject({
      values: seriesSchema,
      alpha: z.number().gt(0).max(1).default(0.1),
      beta: z.number().gt(0).max(1).default(0.1),
    }),
    output: intermittentSchema,
    example: { values: [0, 5, 0, 0, 4, 0, 7, 0, 0, 0] },
    run: ({ values, alpha, beta }) => tsb(values, alpha, beta),
  }),
  defineCalculation({
    name: 'demand-forecast',
    purpose: 'Spawn wanted beyond the planned runs, by the method that erred least so far.',
    source: 'Rolling one-step errors of six methods',
    input: z.strictObject({ historyG: seriesSchema, ahead: z.int().min(1).max(52).default(4), level: levelSchema }),
    output: z.discriminatedUnion('kind', [
      z.object({
        kind: z.literal('forecast'),
        method: methodSchema,
        weeks: z.array(estimateSchema),
        tried: z.array(z.object({ method: methodSchema, meanAbsoluteError: z.number() })),
      }),
      notEnoughDataSchema,
    ]),
    example: { historyG: [5000, 5200, 4800, 5100, 0, 5300, 4900, 5000, 5100, 4700], ahead: 2 },
    run: ({ historyG, ahead, level }) => {
      const forecast = demandForecast(historyG, ahead, level);
      return forecast.kind === 'forecast'
        ? { ...forecast, weeks: [...forecast.weeks], tried: [...forecast.tried] }
        : forecast;
    },
  }),
  defineCalculation({
    name: 'mean-absolute-scaled-error',
    purpose: 'How a forecast compares with repeating the last value.',
    source: 'Hyndman and Koehler 2006',
    input: z.strictObject({
      training: z.array(z.number()).min(2),
      actual: z.array(z.number()).min(1),
      forecast: z.array(z.number()).min(1),
    }),
    output: z.object({ error: z.number() }),
    example: { training: [10, 12, 11, 13, 12, 14, 13, 15], actual: [14, 16, 15], forecast: [14.5, 14.5, 14.5] },
    run: ({ training, actual, forecast }) => ({ error: meanAbsoluteScaledError(training, actual, forecast) }),
  }),
  defineCalculation({
    name: 'newsvendor',
    purpose: 'How much to have ready for one uncertain demand.',
    source: 'Porteus and Gallego as quoted by R’s SCperf',
    input: z.strictObject({
      mean: z.number().gt(0),
      deviation: z.number().gt(0),
      costShort: z.number().gt(0),
      costOver: z.number().gt(0),
    }),
    output: z.object({
      quantity: z.number(),
      criticalRatio: z.number(),
      expectedCost: z.number(),
      fillRate: z.number(),
    }),
    example: { mean: 100, deviation: 30, costShort: 3, costOver: 1 },
    run: ({ mean, deviation, costShort, costOver }) =>
      newsvendor(mean, deviation, { short: costShort, over: costOver } satisfies MarginalCosts),
  }),
  defineCalculation({
    name: 'lot-sizing',
    purpose: 'When to make how much, with a cost for each start and for keeping.',
    source: 'Wagner and Whitin 1958 (the least cost, proven); Silver and Meal’s rule of thumb',
    input: z.strictObject({
      demand: seriesSchema.min(1),
      setupCost: z.union([z.number().min(0), z.array(z.number().min(0))]),
      holdingCost: z.number().min(0),
      method: z.enum(['wagner-whitin', 'silver-meal']).default('wagner-whitin'),
    }),
    output: z.object({ lots: z.array(z.number()), cost: z.number() }),
    example: {
      demand: [69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56],
      setupCost: [85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114],
      holdingCost: 1,
    },
    run: ({ method, ...problem }) => {
      const { lots, cost } = method === 'wagner-whitin' ? wagnerWhitin(problem) : silverMeal(problem);
      return { lots: [...lots], cost };
    },
  }),
  defineCalculation({
    name: 'order-size',
    purpose: 'How much of something that keeps to order at a time.',
    source: 'Harris 1913: √(2DK/h)',
    input: z.strictObject({ perYear: z.number().gt(0), perOrder: z.number().gt(0), keeping: z.number().gt(0) }),
    output: z.object({ quantity: z.number() }),
    example: { perYear: 1000, perOrder: 10, keeping: 0.5 },
    run: ({ perYear, perOrder, keeping }) => ({ quantity: orderSize(perYear, perOrder, keeping) }),
  }),
  defineCalculation({
    name: 'safety-stock',
    purpose: 'What to hold so that nothing runs out while a delivery is awaited.',
    source: 'Normal use and delivery: z √(L σ² + d² s²)',
    input: z.strictObject({
      usePerPeriod: massSchema,
      useDeviation: massSchema,
      leadPeriods: z.number().min(0),
      leadDeviation: z.number().min(0).default(0),
      assurance: z.number().min(0.5).lt(1).default(0.95),
    }),
    output: z.object({ quantity: z.number() }),
    example: { usePerPeriod: 50, useDeviation: 10, leadPeriods: 4, leadDeviation: 0.5 },
    run: ({ assurance, ...resupply }) => ({ quantity: safetyStock(resupply, assurance) }),
  }),
];
