import { z } from 'zod';
import { estimateOrNotSchema, estimateSchema, notEnoughDataSchema } from './calculation.js';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema } from './common.js';

/**
 * The farm's own numbers, from its bench log. Every rate carries its interval and the count it rests on; where the log
 * says little, the answer says so and shows what is published instead, with its source.
 */

const count = z.number().int();
const listOf = <T extends z.ZodType>(item: T) => z.array(item).readonly();

/** What a rate starts from: published for the species, or the farm's own word. */
export const startingValueSchema = z.object({
  value: z.number(),
  low: z.number().nullable(),
  high: z.number().nullable(),
  origin: z.enum(['farm', 'species']),
  /** The publication in words; null for the farm's own word. */
  source: z.string().nullable(),
  confidence: z.enum(['read', 'copy', 'memory', 'common practice']).nullable(),
  note: z.string().nullable(),
});

/** Where a value a plan is made with comes from; `learned` rests on `n` jars of the farm's own log. */
export const learnedOrigins = ['farm', 'learned', 'species'] as const;

export const ratesQuerySchema = z
  .strictObject({
    /** Only this strain; left out: all. */
    strainId: idSchema.optional(),
    /** How far back, in days. */
    days: z.coerce.number().int().min(14).max(3650).default(365),
  })
  .meta({ id: 'RatesQuery' });

export const contaminationQuerySchema = ratesQuerySchema
  .extend({ period: z.enum(['week', 'month']).default('week') })
  .meta({ id: 'ContaminationQuery' });

export const rateFactors = ['strain', 'grainBatch', 'cycle', 'mother', 'operator', 'room', 'method'] as const;

const levelRateSchema = z.object({
  /** The id of the strain, batch, cycle, jar, person or room; the method's own word. */
  level: z.string(),
  /** What the farm calls it. */
  label: z.string(),
  hits: count,
  n: count,
  lots: count,
  lastMadeOn: calendarDaySchema,
  observed: estimateOrNotSchema,
  /** Drawn toward the farm's mean as far as its few jars deserve. */
  shrunk: estimateSchema,
});

export const factorRatesSchema = z.object({
  factor: z.enum(rateFactors),
  /** Whether the mean few jars are drawn toward is the farm's own or published. */
  from: z.enum(['own groups', 'published']),
  /** Newest first, at most 200; `count` counts all. */
  rates: listOf(levelRateSchema),
  count,
});

const signalSchema = z.object({ label: z.string(), side: z.enum(['above', 'below']), sentence: z.string() });

const chartPointSchema = z.object({ label: z.string(), hits: count, n: count });

const ratesChartSchema = z.object({
  period: z.enum(['week', 'month']),
  points: listOf(chartPointSchema),
  chart: z.discriminatedUnion('kind', [
    z.object({
      kind: z.literal('chart'),
      centre: z.number(),
      sigmaZ: z.number(),
      points: listOf(
        chartPointSchema.extend({
          rate: z.number(),
          lowLimit: z.number(),
          highLimit: z.number(),
          signal: z.enum(['above', 'below']).nullable(),
        }),
      ),
      n: count,
    }),
    notEnoughDataSchema,
  ]),
  average: z.discriminatedUnion('kind', [
    z.object({
      kind: z.literal('chart'),
      centre: z.number(),
      points: listOf(
        chartPointSchema.extend({
          average: z.number(),
          lowLimit: z.number(),
          highLimit: z.number(),
          signal: z.enum(['above', 'below']).nullable(),
        }),
      ),
    }),
    notEnoughDataSchema,
  ]),
  /** Plain English; empty when nothing lies outside what chance explains. */
  signals: listOf(signalSchema),
});

const memberSchema = z.object({ factor: z.string(), level: z.string(), label: z.string() });

export const causeSchema = z.object({
  /** With more than one, the records cannot tell which of them it is. */
  members: listOf(memberSchema),
  sentence: z.string(),
  oddsRatio: estimateSchema,
  rate: estimateSchema,
  excessJars: z.number(),
  lots: count,
  jars: count,
  falseDiscovery: z.number(),
});

const attributionSchema = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('attribution'),
    lots: count,
    jars: count,
    blanks: count,
    rate: estimateSchema,
    lotCorrelation: z.number(),
    causes: listOf(causeSchema),
    /** What can be said of every other level with enough lots, worst first; at most 100. */
    levels: listOf(
      memberSchema.extend({
        lots: count,
        jars: count,
        contaminated: count,
        verdict: z.enum(['explains', 'cannot be told apart', 'suspected', 'no sign', 'not enough data']),
        oddsRatio: estimateOrNotSchema,
        smallestTellable: z.number().nullable(),
      }),
    ),
    /** Levels of which the records cannot tell whether they matter. */
    notEnoughData: count,
  }),
  notEnoughDataSchema,
]);

const hazardSchema = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('hazard'),
    n: count,
    contaminated: count,
    bands: listOf(
      z.object({
        fromDay: z.number(),
        toDay: z.number(),
        jarDays: z.number(),
        contaminated: count,
        perJarDay: estimateOrNotSchema,
        contaminatedByEnd: z.number(),
      }),
    ),
  }),
  notEnoughDataSchema,
]);

export const contaminationRatesSchema = z
  .object({
    asOf: calendarDaySchema,
    from: calendarDaySchema,
    /** Lots whose jars' fate is known, and those too young to count. */
    lotsCounted: count,
    lotsTooYoung: count,
    hits: count,
    n: count,
    observed: estimateOrNotSchema,
    /** Near the published start while few jars are counted. */
    shrunk: estimateSchema,
    start: startingValueSchema,
    factors: listOf(factorRatesSchema),
    /** True when rates of other people are kept back: they are shown to each person and to the owner. */
    othersKeptBack: z.boolean(),
    overTime: ratesChartSchema,
    hazard: hazardSchema,
    attribution: attributionSchema,
  })
  .meta({ id: 'ContaminationRates' });

const ripeningSchema = z.object({
  median: estimateSchema,
  /** Days by which one, five and nine in ten are ripe. */
  earlyDays: z.number(),
  usualDays: z.number(),
  lateDays: z.number(),
  /** Share of the knowledge that is the farm's own; 0: only what it starts from. */
  ownShare: z.number(),
});

const strainHeadSchema = z.object({ strainId: idSchema, strainCode: z.string(), strainName: z.string() });

export const growthRatesSchema = z
  .object({
    asOf: calendarDaySchema,
    from: calendarDaySchema,
    items: listOf(
      strainHeadSchema.extend({
        start: startingValueSchema,
        referenceC: z.number(),
        jars: count,
        /** Jars whose looks contradict each other, or whose room is too cold or warm to grow in by the model. */
        leftOut: count,
        /** At the reference temperature. */
        all: ripeningSchema,
        onThisFarm: ripeningSchema,
        byGeneration: listOf(z.object({ generation: count, ripening: ripeningSchema })),
        byRoom: listOf(z.object({ roomId: idSchema, roomName: z.string(), ripening: ripeningSchema })),
      }),
    ),
  })
  .meta({ id: 'GrowthRates' });

export const ageingRatesSchema = z
  .object({
    asOf: calendarDaySchema,
    from: calendarDaySchema,
    items: listOf(
      strainHeadSchema.extend({
        start: startingValueSchema,
        mayBeChilled: z.boolean(),
        restarts: count,
        died: count,
        /** Days in the cold by which one in ten has died. */
        lifeDays: estimateSchema,
        ownShare: z.number(),
        curve: z.discriminatedUnion('kind', [
          z.object({
            kind: z.literal('curve'),
            n: count,
            events: count,
            watchedDays: z.number(),
            steps: listOf(
              z.object({
                days: z.number(),
                atRisk: count,
                ended: count,
                survival: z.number(),
                low: z.number().nullable(),
                high: z.number().nullable(),
              }),
            ),
          }),
          notEnoughDataSchema,
        ]),
      }),
    ),
  })
  .meta({ id: 'AgeingRates' });

export const yieldRatesSchema = z
  .object({
    asOf: calendarDaySchema,
    from: calendarDaySchema,
    runs: listOf(
      strainHeadSchema.extend({
        runId: idSchema,
        runName: z.string(),
        spawnedOn: calendarDaySchema,
        /** The grams stay beside the ratio. */
        freshG: z.number(),
        substrateDryG: z.number(),
        /** Fresh mushrooms per dry substrate, as a fraction; null when a weighing lies before spawning. */
        efficiency: z.number().nullable(),
        moistureAssumed: z.boolean(),
        finished: z.boolean(),
        daysToFirstHarvest: z.number().nullable(),
        flushes: listOf(
          z.object({ flush: count, freshG: z.number(), share: z.number().nullable(), efficiency: z.number() }),
        ),
      }),
    ),
    strains: listOf(
      strainHeadSchema.extend({
        start: startingValueSchema,
        finishedRuns: count,
        freshG: z.number(),
        substrateDryG: z.number(),
        observed: estimateOrNotSchema,
        shrunk: estimateOrNotSchema,
        byFlush: listOf(
          z.object({ flush: count, share: z.number(), efficiency: estimateOrNotSchema, freshG: z.number() }),
        ),
        daysToFirstHarvest: estimateOrNotSchema,
        daysBetweenFlushes: estimateOrNotSchema,
        /** Change of the efficiency for one percentage point more spawn: a hint, not a trial. */
        spawnRateEffect: z.discriminatedUnion('kind', [
          z.object({ kind: z.literal('effect'), perPercent: estimateSchema, correlation: z.number() }),
          notEnoughDataSchema,
        ]),
      }),
    ),
  })
  .meta({ id: 'YieldRates' });

/** A value a plan is made with, and what it would start from without the farm's log. */
export const planningValueSchema = z.object({
  value: z.number(),
  origin: z.enum(learnedOrigins),
  /** Jars of the farm's own log it rests on; 0 unless learned. */
  n: count,
  low: z.number().nullable(),
  high: z.number().nullable(),
  published: startingValueSchema,
});

export const planningValuesSchema = z
  .object({
    asOf: calendarDaySchema,
    items: listOf(
      strainHeadSchema.extend({
        /** Share of jars lost before they are ripe. */
        lossRate: planningValueSchema,
        daysToRipe: planningValueSchema,
        warmLifeDays: planningValueSchema,
        /** Null for a strain that is not chilled. */
        coldLifeDays: planningValueSchema.nullable(),
      }),
    ),
  })
  .meta({ id: 'PlanningValues' });

export type PlanningValue = z.infer<typeof planningValueSchema>;
export type PlanningValues = z.infer<typeof planningValuesSchema>;
export type RatesQuery = z.infer<typeof ratesQuerySchema>;
export type ContaminationQuery = z.infer<typeof contaminationQuerySchema>;
export type StartingValue = z.infer<typeof startingValueSchema>;
export type FactorRatesJson = z.infer<typeof factorRatesSchema>;
export type ContaminationRates = z.infer<typeof contaminationRatesSchema>;
export type GrowthRates = z.infer<typeof growthRatesSchema>;
export type AgeingRates = z.infer<typeof ageingRatesSchema>;
export type YieldRates = z.infer<typeof yieldRatesSchema>;
