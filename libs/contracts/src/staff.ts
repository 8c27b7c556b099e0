import { z } from 'zod';
import { idSchema, instantSchema, lineSchema } from './common.js';
import { pinSchema } from './devices.js';
import { roleSchema } from './identity.js';

/** The people of a farm. A hand or a lead needs no account: a name, and a PIN for the shared tablets. */

const staffName = lineSchema(80);
const givenRole = z.enum(['hand', 'lead']);

export const staffMemberSchema = z
  .object({
    staffId: idSchema,
    name: z.string().nullable().describe('Null: the name was forgotten when the person left.'),
    role: roleSchema,
    active: z.boolean(),
    hasAccount: z.boolean().describe('Can sign in with e-mail address and password.'),
    pinSetAt: instantSchema.nullable(),
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
export type SetPin = z.infer<typeof setPinSchema>;
export type StaffLeaves = z.infer<typeof leaveSchema>;
