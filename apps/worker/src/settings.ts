import { platformEnvSchema } from '@jarfold/server/platform';
import { z } from 'zod';

/** What the worker reads from its environment beside what every process does. */
export const workerEnvSchema = platformEnvSchema.extend({
  /** How long a job's lock outlives a worker that died: another one takes the job over after at most this and half. */
  JARFOLD_JOB_LOCK_MS: z.coerce
    .number({ error: 'is not a number' })
    .int('is not a whole number')
    .min(1_000, 'is below 1000')
    .max(300_000, 'is above 300000')
    .default(10_000),
  /** How often the outbox is looked at even when nothing was announced. */
  JARFOLD_OUTBOX_POLL_MS: z.coerce
    .number({ error: 'is not a number' })
    .int('is not a whole number')
    .min(100, 'is below 100')
    .max(60_000, 'is above 60000')
    .default(1_000),
});

export type WorkerEnv = z.infer<typeof workerEnvSchema>;
