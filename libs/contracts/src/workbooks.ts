import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema, instantSchema } from './common.js';

/** Weekly workbooks: made every week by the worker and on demand, kept, and given out as files. */

export const workbookFileSchema = z
  .object({
    /** Also stands inside the file, so that a returned one is recognised. */
    id: idSchema,
    /** ISO 8601, such as 2026-W48. */
    week: z.string(),
    asOf: calendarDaySchema,
    /** Made by the worker at the week's start, or when somebody asked. */
    reason: z.enum(['weekly', 'asked']),
    madeAt: instantSchema,
    fileName: z.string(),
  })
  .meta({ id: 'WorkbookFile' });

/** Newest first, at most 100. */
export const workbookFileListSchema = z.object({ items: z.array(workbookFileSchema) }).meta({ id: 'WorkbookFileList' });

/** How the farm's files show quantities and days. Inside, everything stays grams, Celsius and calendar days. */
const fileUnitFields = {
  massUnit: z.enum(['metric', 'us']),
  temperatureUnit: z.enum(['celsius', 'fahrenheit']),
  /** ISO 8601: 1 is Monday, 7 is Sunday. */
  weekStartsOn: z.number().int().min(1).max(7),
  dayStyle: z.enum(['iso', 'day-first', 'month-first']),
};

export const fileUnitsSchema = z
  .object({ revision: z.number().int().min(0), ...fileUnitFields })
  .meta({ id: 'FileUnits' });
export const fileUnitsPatchSchema = z.strictObject(fileUnitFields).partial().meta({ id: 'FileUnitsPatch' });

export type WorkbookFile = z.infer<typeof workbookFileSchema>;
export type WorkbookFileList = z.infer<typeof workbookFileListSchema>;
export type FileUnitsJson = z.infer<typeof fileUnitsSchema>;
export type FileUnitsPatch = z.infer<typeof fileUnitsPatchSchema>;
