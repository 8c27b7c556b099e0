import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema, instantSchema } from './common.js';

/** What the prep bench has in its sacks. Masses in grams as bought, with the grain's own water. */

const grams = z.number();

/** A sack truck's worth is far below it: more is a slip of the unit. */
const MOST_G = 100_000_000;

export const grainStockStates = ['not-counted', 'known', 'out-of-date'] as const;

export const grainStockItemSchema = z
  .object({
    grain: z.object({ key: z.string(), name: z.string() }),
    state: z
      .enum(grainStockStates)
      .describe('out-of-date: more was soaked than there can have been, so the count or a purchase is wrong.'),
    onHandG: grams.nullable().describe('Null unless the state is known; never negative.'),
    /** How it follows from the newest count; null before there is one. */
    account: z
      .object({
        countedAt: instantSchema,
        countedG: grams,
        boughtG: grams,
        soakedG: grams,
        unweighed: z.number().int().describe('Batches begun since of which nobody said how much grain they took.'),
      })
      .nullable(),
    /** Of the grain the farm fills its jars with, once there is a plan; null otherwise. */
    outlook: z
      .object({
        thisWeekG: grams.describe('From today until Sunday, less what is soaked for it already.'),
        fourWeeksG: grams.describe('From today, of this week and the three after it.'),
        runsOutOn: calendarDaySchema
          .nullable()
          .describe('The first preparation day of the plan that the stock does not reach for.'),
        buyBy: calendarDaySchema.nullable(),
        missingG: grams.nullable().describe('To buy so that the four weeks are covered.'),
      })
      .nullable(),
  })
  .meta({ id: 'GrainStockItem' });

export const grainStockSchema = z
  .object({
    today: calendarDaySchema,
    /** The farm's grain first, then others that were ever counted or bought. */
    items: z.array(grainStockItemSchema),
  })
  .meta({ id: 'GrainStock' });

export const newGrainStockEntrySchema = z
  .strictObject({
    id: idSchema.describe('Made by whoever sends it: the same sent twice is taken once.'),
    grain: z.string().min(1).max(40).describe('Key of a grain; see `grains` of the farm.'),
    kind: z.enum(['counted', 'bought']).describe('counted: so much there is now; bought: so much came on top.'),
    massG: z.number().min(0).max(MOST_G, 'At most 100 tonnes.'),
  })
  .refine(({ kind, massG }) => kind === 'counted' || massG > 0, {
    error: 'Write how much was bought.',
    path: ['massG'],
  })
  .meta({ id: 'NewGrainStockEntry' });

export type GrainStock = z.infer<typeof grainStockSchema>;
export type GrainStockItem = z.infer<typeof grainStockItemSchema>;
export type NewGrainStockEntry = z.infer<typeof newGrainStockEntrySchema>;
