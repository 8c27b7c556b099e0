import { isTimeZone } from '@jarfold/domain';
import { z } from 'zod';

/**
 * An id made by the service or by a tablet: opaque, and unique within a farm. Capitals and small letters are the same id
 * (RFC 9562 section 4, from memory); it is kept in small ones, as the database writes it, or what was hashed on its way
 * in would differ from what is read.
 */
export const idSchema = z.uuid().toLowerCase();

/** A moment, ISO 8601 in UTC. Calendar days are another type (see calendar-day). */
export const instantSchema = z.iso.datetime();

/** An IANA time zone the server knows, such as Europe/Berlin. */
export const timeZoneSchema = z
  .string()
  .min(1)
  .max(64)
  .refine(isTimeZone, { error: 'Not a known IANA time zone, such as Europe/Berlin.' })
  .meta({ examples: ['Europe/Berlin'] });

/** What breaks a line, steers a terminal, or is half a character: control characters, line separators, lone surrogates. */
const NOT_ON_A_LINE = /[\p{Cc}\p{Zl}\p{Zp}\p{Cs}]/u;

/** Text a person types on one line: trimmed, no control characters, not empty. */
export function lineSchema(maxLength: number) {
  return z
    .string()
    .trim()
    .min(1, 'Must not be empty.')
    .max(maxLength)
    .refine((text) => !NOT_ON_A_LINE.test(text), { error: 'Must be one line without control characters.' });
}
