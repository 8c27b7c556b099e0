import { z } from 'zod';
import { idSchema, instantSchema, lineSchema } from './common.js';

/** Secret addresses at which a calendar program reads the farm's days (RFC 5545). */

export const calendarFeedSchema = z
  .object({
    id: idSchema,
    name: z.string(),
    /** Whose feed it is: a person's, or the whole farm's. */
    of: z.enum(['farm', 'person']),
    createdAt: instantSchema,
    revokedAt: instantSchema.nullable(),
  })
  .meta({ id: 'CalendarFeed' });

export const calendarFeedListSchema = z.object({ items: z.array(calendarFeedSchema) }).meta({ id: 'CalendarFeedList' });

export const newCalendarFeedSchema = z
  .strictObject({
    name: lineSchema(80),
    /** `person`: the one who asks, by the work of their role. The farm's own needs a lead. */
    of: z.enum(['farm', 'person']),
  })
  .meta({ id: 'NewCalendarFeed' });

/** The address is told once: only a digest of its secret is kept. */
export const madeCalendarFeedSchema = z
  .object({ feed: calendarFeedSchema, path: z.string() })
  .meta({ id: 'MadeCalendarFeed' });

/** 256 random bits. */
export const calendarSecretSchema = z
  .string()
  .max(60)
  .regex(/^[\w-]{43}(\.ics)?$/, 'This is no address of a calendar feed.');

export type CalendarFeed = z.infer<typeof calendarFeedSchema>;
export type CalendarFeedList = z.infer<typeof calendarFeedListSchema>;
export type NewCalendarFeed = z.infer<typeof newCalendarFeedSchema>;
export type MadeCalendarFeed = z.infer<typeof madeCalendarFeedSchema>;
