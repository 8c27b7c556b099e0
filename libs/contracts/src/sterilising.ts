import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema, instantSchema, lineSchema } from './common.js';

/** Steriliser cycles: what the log says of each, the trace attached to it, and what the heat was worth. */

const count = z.number().int();

/** How a load is heated, in the words of the bench log. */
export const cycleMethods = ['pressure', 'boiling_water_steam', 'two_day_steam', 'ready_bought'] as const;
export const cycleStages = ['started', 'held', 'ended', 'cooled'] as const;

/** `not judged`: the method is no heating of the farm's own. */
export const verdictKinds = ['as the method asks', 'departs', 'not enough data', 'not judged'] as const;
export const cycleDepartures = ['short hold', 'too cold', 'interrupted', 'below target', 'gaps in the trace'] as const;

/** Readings beyond this are more than any logger of a farm gives in a day of seconds. */
const MOST_READINGS = 20_000;
const MOST_TRACE_CHARACTERS = 900_000;

export const cycleVerdictSchema = z.object({
  kind: z.enum(verdictKinds),
  departures: z.array(z.enum(cycleDepartures)),
  /** Minutes at 121.1 °C, z = 10 °C, with the same effect in the load; null when nothing tells. */
  f0Min: z.number().nullable(),
  from: z.enum(['trace', 'hold']).nullable(),
  /** Minutes of hold that would reach the method's own target at the temperature this cycle had. */
  holdForTargetMin: z.number().nullable(),
});

const cycleFields = {
  id: idSchema,
  code: z.string(),
  method: z.enum(cycleMethods),
  steriliser: z.string().nullable(),
  stage: z.enum(cycleStages),
  startedOn: calendarDaySchema,
  startedAt: instantSchema,
  /** As logged. */
  holdMin: z.number().nullable(),
  gaugePressureKpa: z.number().nullable(),
  temperatureC: z.number().nullable(),
  hasTrace: z.boolean(),
  verdict: cycleVerdictSchema,
  lots: count,
  jars: count,
  contaminated: count,
  blanks: count,
  blanksContaminated: count,
};

export const cycleSchema = z.object(cycleFields);

export const cycleQuerySchema = z
  .strictObject({
    /** Only cycles started before this one: the way to the next page. */
    beforeId: idSchema.optional(),
    limit: z.coerce.number().int().min(1).max(200).default(50),
  })
  .meta({ id: 'CycleQuery' });

export const cycleListSchema = z
  .object({ items: z.array(cycleSchema), next: idSchema.nullable() })
  .meta({ id: 'CycleList' });

export const cycleDetailQuerySchema = z
  .strictObject({
    cycleId: idSchema.optional(),
    /** The code of the cycle, letters in any case. */
    code: z.string().trim().min(1).max(40).optional(),
  })
  .refine(({ cycleId, code }) => (cycleId === undefined) !== (code === undefined), {
    error: 'Ask for one of cycleId and code.',
  })
  .meta({ id: 'CycleDetailQuery' });

const tracePointSchema = z.object({ minute: z.number(), temperatureC: z.number() });
const spanSchema = z.object({ fromMin: z.number(), toMin: z.number() });

export const cycleDetailSchema = z
  .object({
    ...cycleFields,
    endedAt: instantSchema.nullable(),
    cooledAt: instantSchema.nullable(),
    /** Metres above the sea; null: nobody said, and sea level is counted with. */
    altitudeM: z.number().nullable(),
    /** What the method asks of itself; null for a method that is not judged. */
    target: z
      .object({
        methodName: z.string(),
        temperatureC: z.number(),
        holdMin: z.number(),
        /** Where the hold is from, in words; null: common practice. */
        source: z.string().nullable(),
        f0Min: z.number().nullable(),
        /** What the method does and does not do; said once, not a warning of every load. */
        achieves: z.string(),
      })
      .nullable(),
    trace: z
      .object({
        id: idSchema,
        attachedAt: instantSchema,
        attachedBy: idSchema,
        /** Null once the name was erased. */
        attachedByName: z.string().nullable(),
        origin: z.enum(['file', 'points']),
        fileName: z.string().nullable(),
        unit: z.enum(['C', 'F']),
        points: z.array(tracePointSchema).readonly(),
        highestC: z.number(),
        longestGapMin: z.number(),
        /** Where the load was as hot as the method asks. */
        hot: z.array(spanSchema).readonly(),
      })
      .nullable(),
    /** What the bench read off gauge and thermometer during the hold, in the order of the clock. */
    readings: z.array(
      z.object({
        entryId: idSchema,
        at: instantSchema,
        temperatureC: z.number().nullable(),
        gaugePressureKpa: z.number().nullable(),
        boilLost: z.boolean(),
      }),
    ),
    /** Traces attached before the newest; kept, not counted. */
    earlierTraces: count,
    /** Expected kill of named spores by this F0; empty when F0 is not known. */
    kills: z.array(z.object({ spore: z.string(), dMin: z.number(), source: z.string().nullable(), log10: z.number() })),
    loads: z.array(
      z.object({
        sizeName: z.string(),
        volumeMl: z.number(),
        count,
        grainBatchCode: z.string().nullable(),
        /** Published hold under pressure for this volume; null beyond the tables. */
        publishedHoldMin: z.number().nullable(),
      }),
    ),
    lotRows: z.array(
      z.object({
        lotId: idSchema,
        code: z.string(),
        blank: z.boolean(),
        strainCode: z.string().nullable(),
        madeOn: calendarDaySchema,
        jars: count,
        contaminated: count,
      }),
    ),
  })
  .meta({ id: 'CycleDetail' });

/** One reading as a person enters it. */
export const enteredReadingSchema = z.strictObject({
  minute: z.number().min(0).max(10_000),
  temperature: z.number().min(-60).max(400),
});

export const newTraceSchema = z
  .discriminatedUnion('kind', [
    z.strictObject({
      kind: z.literal('file'),
      id: idSchema,
      cycleId: idSchema,
      fileName: lineSchema(200),
      /** Lines of time and temperature, as the logger wrote them. */
      text: z.string().min(1, 'The file is empty.').max(MOST_TRACE_CHARACTERS, 'The file is too long for a trace.'),
      /** Null: the heading of the file says it. It is never guessed. */
      unit: z.enum(['C', 'F']).nullable(),
    }),
    z.strictObject({
      kind: z.literal('points'),
      id: idSchema,
      cycleId: idSchema,
      unit: z.enum(['C', 'F']),
      points: z.array(enteredReadingSchema).min(2, 'A trace needs two readings or more.').max(MOST_READINGS),
    }),
  ])
  .meta({ id: 'NewTrace' });

export type CycleQuery = z.infer<typeof cycleQuerySchema>;
export type CycleJson = z.infer<typeof cycleSchema>;
export type CycleList = z.infer<typeof cycleListSchema>;
export type CycleDetailQuery = z.infer<typeof cycleDetailQuerySchema>;
export type CycleDetail = z.infer<typeof cycleDetailSchema>;
export type NewTrace = z.infer<typeof newTraceSchema>;
