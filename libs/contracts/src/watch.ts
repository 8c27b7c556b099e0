import { flagKinds } from '@jarfold/domain';
import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema, instantSchema } from './common.js';

/** What a grower should look at, in plain English. */

export const flagSchema = z
  .object({
    id: idSchema,
    kind: z.enum(flagKinds),
    what: z.string(),
    /** Codes of the jars, lots or cycles concerned. */
    where: z.array(z.string()),
    since: calendarDaySchema,
    why: z.string(),
    action: z.string(),
    raisedAt: instantSchema,
    /** Marked as seen: when, and by whom (null once that name was erased). It stands until its cause is gone. */
    seen: z.object({ at: instantSchema, by: z.string().nullable() }).nullable(),
  })
  .meta({ id: 'Flag' });

export const flagSeenSchema = z.strictObject({ seen: z.boolean() }).meta({ id: 'FlagSeen' });

export const watchSchema = z.object({ items: z.array(flagSchema) }).meta({ id: 'Watch' });

export const settledQuerySchema = z
  .strictObject({
    /** How far back, in days. */
    days: z.coerce.number().int().min(1).max(365).default(28),
  })
  .meta({ id: 'SettledQuery' });

export const settledFlagSchema = flagSchema.extend({ settledAt: instantSchema });

export const settledFlagsSchema = z.object({ items: z.array(settledFlagSchema) }).meta({ id: 'SettledFlags' });

export type FlagSeen = z.infer<typeof flagSeenSchema>;
export type FlagJson = z.infer<typeof flagSchema>;
export type SettledQuery = z.infer<typeof settledQuerySchema>;
export type SettledFlags = z.infer<typeof settledFlagsSchema>;
export type WatchJson = z.infer<typeof watchSchema>;
