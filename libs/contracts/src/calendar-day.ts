import { type CalendarDay, isCalendarDay } from '@jarfold/domain';
import { z } from 'zod';

/**
 * A day that exists, written `YYYY-MM-DD`, years 1900 to 2999. The refinement does not show in a JSON schema, which
 * says `format: date`; the cast gives parsed values the domain's own type.
 */
export const calendarDaySchema = z.iso
  .date('Write a day that exists as YYYY-MM-DD.')
  .refine(isCalendarDay, 'The year must lie between 1900 and 2999.') as unknown as z.ZodType<CalendarDay, string>;
