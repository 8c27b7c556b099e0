import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema, instantSchema, lineSchema } from './common.js';
import { pinSchema } from './devices.js';
import { roleSchema } from './identity.js';

/** The people of a farm. A hand or a lead needs no account: a name, and a PIN for the shared tablets. */

const staffName = lineSchema(80);
const givenRole = z.enum(['hand', 'lead']);

export const awayPeriodSchema = z
  .strictObject({
    firstDay: calendarDaySchema,
    lastDay: calendarDaySchema.describe('The last day away, not the first day back.'),
    note: lineSchema(80)
      .nullable()
      .describe('Read by everybody who leads the farm: not a place for reasons of health.'),
  })
  .refine(({ firstDay, lastDay }) => firstDay <= lastDay, {
    error: 'The last day lies before the first.',
    path: ['lastDay'],
  })
  .meta({ id: 'AwayPeriod' });

const benchMinutes = z
  .number()
  .int()
  .min(0)
  .max(1440, 'A day has 1440 minutes.')
  .nullable()
  .describe(
    'Hands-on minutes on a bench day; null: not said. As soon as one person’s are said, a bench day has the sum over those who are there, instead of the farm’s one number.',
  );

export const staffMemberSchema = z
  .object({
    staffId: idSchema,
    name: z.string().nullable().describe('Null: the name was forgotten when the person left.'),
    role: roleSchema,
    active: z.boolean(),
    hasAccount: z.boolean().describe('Can sign in with e-mail address and password.'),
    pinSetAt: instantSchema.nullable(),
    benchMinutes,
    away: z.array(awayPeriodSchema).describe('By first day.'),
    revision: z.number().int(),
  })
  .meta({ id: 'StaffMember' });
export const staffListSchema = z.object({ items: z.array(staffMemberSchema) }).meta({ id: 'StaffList' });

export const newStaffSchema = z
  .strictObject({ name: staffName, role: givenRole, pin: pinSchema.optional() })
  .meta({ id: 'NewStaff' });
export const changeStaffSchema = z
  .strictObject({
    name: staffName,
    role: roleSchema.describe('An owner stays an owner; a hand and a lead may become each other.'),
  })
  .meta({ id: 'ChangeStaff' });
export const benchTimeSchema = z
  .strictObject({
    benchMinutes,
    away: z
      .array(awayPeriodSchema)
      .max(100)
      .refine((periods) => new Set(periods.map(({ firstDay }) => firstDay)).size === periods.length, {
        error: 'Two of them begin on the same day: make them one.',
      })
      .describe('All of them: what is left out is taken away.'),
  })
  .meta({ id: 'BenchTime' });
export const setPinSchema = z.strictObject({ pin: pinSchema }).meta({ id: 'SetPin' });
export const leaveSchema = z
  .strictObject({
    forgetName: z.boolean().default(false).describe('Erases the name; the log keeps the id, which names nobody.'),
  })
  .meta({ id: 'StaffLeaves' });

export type StaffMember = z.infer<typeof staffMemberSchema>;
export type StaffList = z.infer<typeof staffListSchema>;
export type NewStaff = z.infer<typeof newStaffSchema>;
export type ChangeStaff = z.infer<typeof changeStaffSchema>;
export type AwayPeriodJson = z.infer<typeof awayPeriodSchema>;
export type BenchTime = z.infer<typeof benchTimeSchema>;
export type SetPin = z.infer<typeof setPinSchema>;
export type StaffLeaves = z.infer<typeof leaveSchema>;
