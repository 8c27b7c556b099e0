import { z } from 'zod';
import { idSchema, instantSchema } from './common.js';

/** The whole farm in a form to keep: lines of JSON can be brought into an empty farm, the others are to read. */
export const askFarmExportSchema = z
  .strictObject({ form: z.enum(['jsonl', 'xlsx', 'csv']).default('jsonl') })
  .meta({ id: 'AskFarmExport' });

export const exportStates = ['waiting', 'running', 'ready', 'cancelled', 'failed'] as const;

/** A file that is being made by the worker, or was. */
export const fileExportSchema = z
  .object({
    /** Of a ready weekly workbook also its id among the workbooks. */
    id: idSchema,
    kind: z.enum(['weekly-workbook', 'whole-farm']),
    form: z.enum(['jsonl', 'xlsx', 'csv']),
    state: z.enum(exportStates),
    askedAt: instantSchema,
    readyAt: instantSchema.nullable(),
    /** Empty until it is ready. */
    fileName: z.string(),
    /** Rows done and rows in all; null before it is known and when it is over. */
    progress: z.object({ done: z.number().int(), total: z.number().int() }).nullable(),
    /** What became of it, in one sentence. */
    result: z.string().nullable(),
  })
  .meta({ id: 'FileExport' });

/** Newest first, at most 20. */
export const fileExportListSchema = z.object({ items: z.array(fileExportSchema) }).meta({ id: 'FileExportList' });

export type AskFarmExport = z.infer<typeof askFarmExportSchema>;
export type FileExport = z.infer<typeof fileExportSchema>;
export type FileExportList = z.infer<typeof fileExportListSchema>;
