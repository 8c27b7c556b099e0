import { z } from 'zod';
import { idSchema, instantSchema, lineSchema } from './common.js';
import { roleSchema } from './identity.js';

/**
 * Shared tablets. An owner asks for a one-time code at a desk; typed on a tablet, it makes the tablet an enrolled
 * device of the farm. Staff then sign in on it with a PIN, which is worth nothing anywhere else.
 */

/** Letters and digits nobody mixes up when reading a code aloud: no 0 O 1 I L U V. */
export const ENROLMENT_ALPHABET = '23456789ABCDEFGHJKMNPQRSTWXYZ';
export const ENROLMENT_CODE_LENGTH = 8;
export const ENROLMENT_MINUTES = 15;

/** Digits of a PIN: six hold 19.9 bits, what is asked of a short secret that is one of two factors. */
export const PIN_DIGITS = 6;
export const pinSchema = z.string().regex(/^\d{6}$/, `A PIN is ${PIN_DIGITS} digits.`);

const revision = z.number().int();
const deviceName = lineSchema(40);

export const newEnrolmentSchema = z.strictObject({ name: deviceName }).meta({ id: 'NewDeviceEnrolment' });
export const enrolmentSchema = z
  .object({
    code: z.string().meta({ description: 'Shown once; works once.', examples: ['7KQM-2RXA'] }),
    name: z.string(),
    expiresAt: instantSchema,
  })
  .meta({ id: 'DeviceEnrolment' });

/** A code as people type it: any case, with or without the hyphen or blanks. */
export const enrolSchema = z
  .strictObject({
    code: z
      .string()
      .max(40)
      .transform((typed) => typed.toUpperCase().replaceAll(/[\s-]/g, ''))
      .pipe(z.string().length(ENROLMENT_CODE_LENGTH, `The code has ${ENROLMENT_CODE_LENGTH} letters and digits.`)),
  })
  .meta({ id: 'EnrolDevice' });

const farm = z.object({ growerId: idSchema, name: z.string(), timeZone: z.string() });

export const enrolledSchema = z.object({ deviceId: idSchema, name: z.string(), farm }).meta({ id: 'EnrolledDevice' });

/**
 * How a tablet checks a PIN while the server cannot be reached: key = PBKDF2-HMAC-SHA-256(PIN as UTF-8, salt,
 * iterations, 32 bytes); the PIN is right when base64url(HMAC-SHA-256(key, deviceId as UTF-8)) equals the verifier.
 */
export const offlinePinSchema = z.object({
  algorithm: z.literal('PBKDF2-SHA-256+HMAC'),
  iterations: z.number().int(),
  salt: z.string().meta({ description: 'base64url' }),
  verifier: z.string().meta({ description: 'base64url' }),
});

/** What an enrolled tablet may know while nobody is signed in on it: who it can ask for a PIN. */
export const ownDeviceSchema = z
  .object({
    deviceId: idSchema,
    name: z.string(),
    farm,
    people: z.array(
      z.object({
        staffId: idSchema,
        name: z.string(),
        role: roleSchema,
        pin: offlinePinSchema.nullable().describe('Null: has no PIN yet and cannot sign in on a tablet.'),
      }),
    ),
  })
  .meta({ id: 'OwnDevice' });

export const pinSignInSchema = z.strictObject({ staffId: idSchema, pin: pinSchema }).meta({ id: 'PinSignIn' });

export const deviceSchema = z
  .object({
    deviceId: idSchema,
    name: z.string(),
    enrolled: z.boolean().describe('A shared tablet; else a browser or program that has sent bench entries.'),
    enrolledAt: instantSchema,
    lastSeenAt: instantSchema.nullable(),
    revokedAt: instantSchema.nullable(),
    lastSequence: z.number().int().describe('Entries received from it.'),
    revision,
  })
  .meta({ id: 'Device' });
export const deviceListSchema = z.object({ items: z.array(deviceSchema) }).meta({ id: 'DeviceList' });
export const renameDeviceSchema = z.strictObject({ name: deviceName }).meta({ id: 'RenameDevice' });

export type NewEnrolment = z.infer<typeof newEnrolmentSchema>;
export type Enrolment = z.infer<typeof enrolmentSchema>;
export type EnrolDevice = z.infer<typeof enrolSchema>;
export type EnrolledDevice = z.infer<typeof enrolledSchema>;
export type OfflinePin = z.infer<typeof offlinePinSchema>;
export type OwnDevice = z.infer<typeof ownDeviceSchema>;
export type PinSignIn = z.infer<typeof pinSignInSchema>;
export type Device = z.infer<typeof deviceSchema>;
export type DeviceList = z.infer<typeof deviceListSchema>;
export type RenameDevice = z.infer<typeof renameDeviceSchema>;
