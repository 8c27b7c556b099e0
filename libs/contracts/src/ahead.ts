import { z } from 'zod';
import { estimateSchema, notEnoughDataSchema } from './calculation.js';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema } from './common.js';

/** What lies ahead: harvest by week, spawn by week beyond the planned runs, and promised harvest back to runs. */

const count = z.number().int();
const listOf = <T extends z.ZodType>(item: T) => z.array(item).readonly();

export const aheadQuerySchema = z
  .strictObject({ weeks: z.coerce.number().int().min(1).max(26).default(12) })
  .meta({ id: 'AheadQuery' });

/** How runs of a strain bear: the farm's own finished runs drawn toward what is published. */
export const bearingSchema = z.object({
  strainId: idSchema,
  strainCode: z.string(),
  strainName: z.string(),
  /** Fresh mushrooms per dry substrate, as a fraction, with its interval. */
  efficiency: z.object({ value: z.number(), low: z.number(), high: z.number(), level: z.number() }),
  shares: listOf(z.number()),
  daysToFirstHarvest: z.number(),
  daysBetweenFlushes: z.number(),
  /** Finished runs it rests on; 0: published values alone. */
  runs: count,
});

export const forecastMethods = ['mean', 'last', 'simple', 'trend', 'intermittent', 'fading'] as const;

export const aheadSchema = z
  .object({
    asOf: calendarDaySchema,
    weeks: listOf(
      z.object({
        monday: calendarDaySchema,
        /** Fresh mushrooms expected in the week, with its interval, and the runs they come from. */
        harvest: z.object({ expectedG: z.number(), low: z.number(), high: z.number(), runs: listOf(z.string()) }),
        /** Spawn that the runs planned for the week ask for. */
        plannedSpawnG: z.number(),
        /** Spawn to be expected by the weeks behind; null where the log says too little. */
        expectedSpawnG: z.object({ value: z.number(), low: z.number(), high: z.number() }).nullable(),
      }),
    ),
    bearings: listOf(bearingSchema),
    /** Spawn by week so far, the last whole week last. */
    spawned: listOf(z.object({ monday: calendarDaySchema, grams: z.number() })),
    /** How the spawn expected was found: each way of forecasting with its mean error over the weeks behind. */
    demand: z.discriminatedUnion('kind', [
      z.object({
        kind: z.literal('forecast'),
        method: z.enum(forecastMethods),
        tried: listOf(z.object({ method: z.enum(forecastMethods), meanAbsoluteErrorG: z.number() })),
        next: estimateSchema,
      }),
      notEnoughDataSchema,
    ]),
  })
  .meta({ id: 'Ahead' });

export const promiseQuerySchema = z
  .strictObject({
    strainId: idSchema,
    kilograms: z.coerce.number().positive().max(100_000),
    /** The day it is promised for; with `weeks` the first of them. */
    day: calendarDaySchema,
    /** The same again each week, this many weeks in all. */
    weeks: z.coerce.number().int().min(1).max(26).default(1),
    /** Reckon with the low end of what runs bear, or with their mean. */
    care: z.enum(['low', 'mean']).default('low'),
    /** Days a flush may be picked before the day it is for. */
    keepsDays: z.coerce.number().int().min(0).max(14).default(3),
  })
  .meta({ id: 'PromiseQuery' });

export const promiseSchema = z
  .object({
    asOf: calendarDaySchema,
    bearing: bearingSchema,
    /** Fresh per dry substrate it was reckoned with. */
    efficiency: z.number(),
    /** Weekdays on which the farm's runs are made, ISO; all seven for a farm without runs. */
    weekdays: listOf(count),
    runs: listOf(
      z.object({
        day: calendarDaySchema,
        substrateDryG: z.number(),
        substrateWetG: z.number(),
        spawnG: z.number(),
        /** Days of the promises it serves. */
        serves: listOf(calendarDaySchema),
      }),
    ),
    tooLate: listOf(z.object({ day: calendarDaySchema, missingG: z.number(), spawnBy: calendarDaySchema })),
    /** Mushrooms to be expected beyond what is promised, from later flushes. */
    surplusG: z.number(),
    substrateMoisture: z.number(),
    /** Ripe spawn per wet substrate. */
    spawnRate: z.number(),
  })
  .meta({ id: 'HarvestPromise' });

export type AheadQuery = z.infer<typeof aheadQuerySchema>;
export type Ahead = z.infer<typeof aheadSchema>;
export type BearingJson = z.infer<typeof bearingSchema>;
export type PromiseQuery = z.infer<typeof promiseQuerySchema>;
export type HarvestPromise = z.infer<typeof promiseSchema>;
