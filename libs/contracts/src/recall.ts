import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema } from './common.js';
import { jarPlaceSchema, jarStates } from './stock.js';

/** Every relative of a jar or a lot, up and down, with where it stands and every gram accounted for. */

const count = z.number().int();

export const recallQuerySchema = z
  .strictObject({
    jarId: idSchema.optional(),
    lotId: idSchema.optional(),
    /** The code on the label of a jar or of a lot, letters in any case. */
    code: z.string().trim().min(1).max(40).optional(),
  })
  .refine((asked) => Object.values(asked).filter((value) => value !== undefined).length === 1, {
    error: 'Ask for one of jarId, lotId and code.',
  })
  .meta({ id: 'RecallQuery' });

export const recalledJarSchema = z.object({
  jarId: idSchema,
  code: z.string(),
  lotId: idSchema,
  lotCode: z.string(),
  /** How it is related to what was asked for; a sister has the same mother. */
  relation: z.enum(['asked', 'ancestor', 'descendant', 'sister']),
  /** Inoculations away; null for sisters, 0 for what was asked for. */
  steps: count.nullable(),
  strainCode: z.string().nullable(),
  generation: count.nullable(),
  state: z.enum(jarStates),
  madeOn: calendarDaySchema,
  contaminatedOn: calendarDaySchema.nullable(),
  place: jarPlaceSchema.nullable(),
  madeG: z.number(),
  drawnG: z.number(),
  leftG: z.number(),
  discardedG: z.number(),
});

export const recallSchema = z
  .object({
    asOf: calendarDaySchema,
    asked: z.object({ kind: z.enum(['jar', 'lot']), id: idSchema, code: z.string() }),
    /** What was asked for first, then ancestors and descendants, nearest first, then sisters. */
    jars: z.array(recalledJarSchema),
    /** Bulk runs that any of them went into. */
    runs: z.array(
      z.object({ runId: idSchema, runName: z.string(), day: calendarDaySchema, grams: z.number(), jars: count }),
    ),
    /** What was asked for and everything made from it. */
    balance: z.object({
      jars: count,
      present: count,
      gone: count,
      madeG: z.number(),
      drawnG: z.number(),
      leftG: z.number(),
      discardedG: z.number(),
      /** Made less everything accounted for: 0 when the books are right. */
      unaccountedG: z.number(),
      unbalanced: z.array(z.object({ code: z.string(), unaccountedG: z.number() })).readonly(),
      byState: z.array(z.object({ state: z.string(), jars: count })),
    }),
  })
  .meta({ id: 'Recall' });

export type RecallQuery = z.infer<typeof recallQuerySchema>;
export type RecallJson = z.infer<typeof recallSchema>;
