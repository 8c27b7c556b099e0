import { z } from 'zod';
import { idSchema, instantSchema, lineSchema, timeZoneSchema } from './common.js';

/** What a member of staff may do, rising: a hand logs at the bench, a lead plans, an owner also runs the farm's account. */
export const ROLES = ['hand', 'lead', 'owner'] as const;
export const roleSchema = z.enum(ROLES).meta({ id: 'Role' });
export type Role = z.infer<typeof roleSchema>;

/** Whether `role` may do what needs at least `minimum`. */
export function roleReaches(role: Role, minimum: Role): boolean {
  return ROLES.indexOf(role) >= ROLES.indexOf(minimum);
}

export const PASSWORD_MIN_LENGTH = 8;
export const PASSWORD_ADVISED_LENGTH = 15;
export const PASSWORD_MAX_LENGTH = 256;

/** An address as typed, trimmed; compared without regard to case. At most 254 characters (RFC 5321 section 4.5.3.1.3). */
export const emailSchema = z
  .string()
  .trim()
  .max(254)
  .pipe(z.email({ error: 'Not an e-mail address, such as name@example.org.' }));

/** A new password: length only, any characters, no composition rules. The server also refuses well-known ones. */
export const newPasswordSchema = z
  .string()
  .min(PASSWORD_MIN_LENGTH, `At least ${PASSWORD_MIN_LENGTH} characters; ${PASSWORD_ADVISED_LENGTH} or more is better.`)
  .max(PASSWORD_MAX_LENGTH, `At most ${PASSWORD_MAX_LENGTH} characters.`);

export const signInSchema = z
  .strictObject({ email: lineSchema(254), password: z.string().min(1).max(PASSWORD_MAX_LENGTH) })
  .meta({ id: 'SignIn' });
export type SignIn = z.infer<typeof signInSchema>;

/** Who is signed in, and to which farm. */
export const whoAmISchema = z
  .object({
    staffId: idSchema,
    name: z.string(),
    email: z.string().nullable().meta({ description: 'Null for somebody without an account, who signed in by PIN' }),
    role: roleSchema,
    by: z.enum(['password', 'pin']).meta({ description: 'A PIN on a shared tablet gives fewer rights' }),
    deviceId: idSchema.nullable().meta({ description: 'The enrolled tablet of a sign-in by PIN' }),
    farm: z.object({ growerId: idSchema, name: z.string(), timeZone: z.string() }),
    session: z.object({ sessionId: idSchema, endsAt: instantSchema }),
  })
  .meta({ id: 'WhoAmI' });
export type WhoAmI = z.infer<typeof whoAmISchema>;

export const sessionSchema = z
  .object({
    sessionId: idSchema,
    current: z.boolean(),
    startedAt: instantSchema,
    lastUsedAt: instantSchema,
    endsAt: instantSchema,
    device: z.string().nullable().meta({ description: 'What the browser called itself when it signed in' }),
  })
  .meta({ id: 'Session' });
export const sessionListSchema = z.object({ items: z.array(sessionSchema) }).meta({ id: 'SessionList' });
export type SessionList = z.infer<typeof sessionListSchema>;

export const changePasswordSchema = z
  .strictObject({ currentPassword: z.string().min(1).max(PASSWORD_MAX_LENGTH), newPassword: newPasswordSchema })
  .meta({ id: 'ChangePassword' });
export type ChangePassword = z.infer<typeof changePasswordSchema>;

/** A farm and its first owner, as typed on the set-up and new-farm screens. */
const newGrowerFields = {
  farmName: lineSchema(80),
  timeZone: timeZoneSchema,
  ownerName: lineSchema(80).optional(),
  email: emailSchema,
  password: newPasswordSchema,
};
export const newGrowerSchema = z.strictObject(newGrowerFields).meta({ id: 'NewGrower' });
export type NewGrower = z.infer<typeof newGrowerSchema>;

export const setUpSchema = z
  .strictObject({ token: z.string().min(1).max(128), ...newGrowerFields })
  .meta({ id: 'SetUp' });
export type SetUp = z.infer<typeof setUpSchema>;

export const setUpStatusSchema = z
  .object({ needed: z.boolean().meta({ description: 'True until the first farm exists' }) })
  .meta({ id: 'SetUpStatus' });

export const createdGrowerSchema = z
  .object({ growerId: idSchema, ownerStaffId: idSchema })
  .meta({ id: 'CreatedGrower' });
export type CreatedGrower = z.infer<typeof createdGrowerSchema>;
