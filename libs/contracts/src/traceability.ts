import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema } from './common.js';

/** Lot records for those who must show where something came from and where it went. */
export const traceQuerySchema = z
  .strictObject({
    /** Only this lot; then the days do not matter. */
    lotId: idSchema.optional(),
    /** The same by the code on its label, letters in any case. */
    code: z.string().trim().min(1).max(40).optional(),
    /** Lots made from this day on; left out: a year back. */
    from: calendarDaySchema.optional(),
    to: calendarDaySchema.optional(),
  })
  .meta({ id: 'TraceQuery' });

export type TraceQuery = z.infer<typeof traceQuerySchema>;
