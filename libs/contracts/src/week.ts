import { isIsoWeek } from '@jarfold/domain';
import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema, instantSchema } from './common.js';
import { limitKinds, planJsonSchema } from './plan.js';
import { planFreshness, runCoverageSchema } from './runs.js';
import { jarPlaceSchema } from './stock.js';

/** One ISO week of the newest plan, as work to do: start, prepare, move, use, and what is in the way. */

const grams = z.number();

/** A source of grams: a jar on hand with its place, or something the plan itself makes earlier. */
export const weekSourceSchema = z.object({
  kind: z.enum(['jar', 'start', 'culture']),
  /** A jar's code, or what to call the planned start or culture. */
  label: z.string(),
  jarId: idSchema.nullable(),
  place: jarPlaceSchema.nullable(),
  grams,
});

const strainRef = z.object({ id: idSchema, code: z.string(), name: z.string() });
const sizeRef = z.object({ id: idSchema, name: z.string() });
const runRef = z.object({
  id: idSchema,
  name: z.string(),
  day: calendarDaySchema,
  /** What is asked for when it is an order for whole jars; null: a bulk run. */
  order: z
    .object({
      jars: z.number().int(),
      size: sizeRef,
      /** Ripe spawn in a full one. */
      ripeGrams: z.number(),
      /** Jars given so far. */
      handedOver: z.number().int(),
      forWhom: z.string().nullable(),
    })
    .nullable(),
});

export const weekStartSchema = z.object({
  id: z.string(),
  strain: strainRef,
  generation: z.number().int(),
  size: sizeRef,
  containers: z.number().int(),
  mothers: z.array(weekSourceSchema),
  feeds: z.array(z.object({ run: runRef, grams })),
  mothersLaterGrams: grams,
  reserveGrams: grams,
  ripeOn: calendarDaySchema,
  lastSafeDay: calendarDaySchema,
});

export const weekBenchDaySchema = z.object({
  day: calendarDaySchema,
  containers: z.number().int(),
  starts: z.array(weekStartSchema),
});

/** Grain work of one preparation day, and the bench day it is for. */
export const weekPreparationSchema = z.object({
  day: calendarDaySchema,
  benchDay: calendarDaySchema,
  cycles: z.number().int(),
  jars: z.array(z.object({ size: sizeRef, count: z.number().int() })),
  grain: z.object({
    grainKey: z.string(),
    grainName: z.string(),
    /** As bought, with its own moisture. */
    dryGrainG: grams,
    /** Water to simmer it in; most of it is drained off again. */
    cookingWaterMl: z.number(),
    /** Water the grain takes up to its target moisture. */
    waterTakenUpMl: z.number(),
    gypsumG: grams,
    chalkG: grams,
    targetMoisture: z.number(),
    /** Where the recipe's values come from. */
    source: z.string().nullable(),
  }),
});

export const weekCultureSchema = z.object({
  id: z.string(),
  strain: strainRef,
  orderBy: calendarDaySchema,
  readyOn: calendarDaySchema,
  units: z.number(),
});

export const weekMoveSchema = z.object({
  day: calendarDaySchema,
  kind: z.enum(['chill', 'warm']),
  from: weekSourceSchema.omit({ grams: true }),
  containers: z.number(),
});

/** What goes into one run whose day lies in the week. */
export const weekRunSchema = z.object({
  run: runRef,
  strain: strainRef,
  coverage: runCoverageSchema,
  uses: z.array(z.object({ day: calendarDaySchema, from: weekSourceSchema, cold: z.boolean() })),
});

export const weekShortageSchema = z.object({
  run: runRef,
  shortGrams: grams,
  /** Below the minimum, or only below the target. */
  kind: z.enum(['below-minimum', 'below-target']),
  limit: z.enum(limitKinds).nullable(),
  limitWhere: z.string().nullable(),
  limitMessage: z.string().nullable(),
});

export const weekQuerySchema = z
  .strictObject({
    /** ISO 8601, such as 2026-W48; left out: the week of the farm's today. */
    week: z.string().max(8).refine(isIsoWeek, 'Write an ISO 8601 week that exists, such as 2026-W48.').optional(),
  })
  .meta({ id: 'WeekQuery' });

export const weekSchema = z
  .object({
    week: z.string(),
    monday: calendarDaySchema,
    sunday: calendarDaySchema,
    today: calendarDaySchema,
    /** Null before the first plan: then all lists are empty. */
    planId: idSchema.nullable(),
    planAsOf: calendarDaySchema.nullable(),
    freshness: z.enum(planFreshness),
    benchDays: z.array(weekBenchDaySchema),
    preparations: z.array(weekPreparationSchema),
    cultures: z.array(weekCultureSchema),
    moves: z.array(weekMoveSchema),
    runs: z.array(weekRunSchema),
    /** Over the whole plan, soonest first: a shortage in five weeks is lifted this week. */
    shortages: z.array(weekShortageSchema),
    stranded: z.array(
      z.object({
        code: z.string(),
        jarId: idSchema.nullable(),
        place: jarPlaceSchema.nullable(),
        grams,
        expires: calendarDaySchema,
      }),
    ),
    impossible: z.array(z.object({ code: z.string(), subject: z.string(), message: z.string() })),
    totals: z.object({
      starts: z.number().int(),
      cycles: z.number().int(),
      dryGrainG: grams,
      cookingWaterMl: z.number(),
    }),
  })
  .meta({ id: 'Week' });

/** The newest plan whole. Strains, sizes and runs stand in it by id. */
export const storedPlanSchema = z
  .object({
    id: idSchema,
    madeAt: instantSchema,
    freshness: z.enum(planFreshness),
    plan: planJsonSchema,
  })
  .meta({ id: 'StoredPlan' });

export const newestPlanSchema = z.object({ newest: storedPlanSchema.nullable() }).meta({ id: 'NewestPlan' });

/** A replan with no new facts answers with the plan that stands: `changed` is false. */
export const replannedSchema = z.object({ planId: idSchema, changed: z.boolean() }).meta({ id: 'Replanned' });

export type WeekQuery = z.infer<typeof weekQuerySchema>;
export type Week = z.infer<typeof weekSchema>;
export type WeekSource = z.infer<typeof weekSourceSchema>;
export type WeekStart = z.infer<typeof weekStartSchema>;
export type WeekPreparation = z.infer<typeof weekPreparationSchema>;
export type WeekRun = z.infer<typeof weekRunSchema>;
export type StoredPlan = z.infer<typeof storedPlanSchema>;
export type NewestPlan = z.infer<typeof newestPlanSchema>;
export type Replanned = z.infer<typeof replannedSchema>;
