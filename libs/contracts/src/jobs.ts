import { z } from 'zod';
import { idSchema, instantSchema } from './common.js';

/**
 * Work done behind the screens. A job carries ids only, always the grower's: the rows hold the facts, the queue only
 * delivers. A job may be delivered twice, so its work must be safe to do twice.
 */

export const replanReasons = ['nightly', 'bench-entries', 'run-changed', 'farm-changed', 'asked'] as const;

/** Make a new plan from the facts as they are when the job runs. */
export const replanJobSchema = z.strictObject({
  version: z.literal(1),
  growerId: idSchema,
  reason: z.enum(replanReasons),
});

/** Make the weekly workbook of the farm's current week, unless it was made. */
export const weeklyWorkbookJobSchema = z.strictObject({ version: z.literal(1), growerId: idSchema });

/** Bring in a file that somebody said yes to, all of it or nothing: an old spreadsheet, a returned workbook, a farm. */
export const fileImportJobSchema = z.strictObject({ version: z.literal(1), growerId: idSchema, importId: idSchema });

/** Make a file that somebody asked for. */
export const fileExportJobSchema = z.strictObject({ version: z.literal(1), growerId: idSchema, exportId: idSchema });

/** Every job there is: its name and its payload. The worker refuses to start unless each has a processor. */
export const jobPayloads = {
  replan: replanJobSchema,
  'weekly-workbook': weeklyWorkbookJobSchema,
  'file-import': fileImportJobSchema,
  'file-export': fileExportJobSchema,
} as const;

export type JobName = keyof typeof jobPayloads;
export type JobPayload<Name extends JobName> = z.infer<(typeof jobPayloads)[Name]>;
export type ReplanReason = (typeof replanReasons)[number];

export const failedJobSchema = z
  .object({
    id: idSchema,
    name: z.string(),
    /** What went wrong, in one sentence. */
    reason: z.string(),
    failedAt: instantSchema,
    attempts: z.number().int(),
    /** When somebody asked for another try; null: not yet. */
    retriedAt: instantSchema.nullable(),
  })
  .meta({ id: 'FailedJob' });

export const failedJobListSchema = z.object({ items: z.array(failedJobSchema) }).meta({ id: 'FailedJobList' });

export type FailedJob = z.infer<typeof failedJobSchema>;
export type FailedJobList = z.infer<typeof failedJobListSchema>;
