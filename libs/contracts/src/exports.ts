import { z } from 'zod';

/** The whole farm in a form to keep: lines of JSON can be brought into an empty farm, the others are to read. */
export const farmExportQuerySchema = z
  .strictObject({ form: z.enum(['jsonl', 'xlsx', 'csv']).default('jsonl') })
  .meta({ id: 'FarmExportQuery' });

export type FarmExportQuery = z.infer<typeof farmExportQuerySchema>;
