import { z } from 'zod';

/** The process answers; nothing else is asked of it. */
export const healthSchema = z.object({ status: z.literal('up') }).meta({ id: 'Health' });

/** The service can do its work: its database answers and is of this version. No more is told, since anyone may ask. */
export const readinessSchema = z.object({ status: z.literal('ready') }).meta({ id: 'Readiness' });
