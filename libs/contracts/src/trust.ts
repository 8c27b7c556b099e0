import { z } from 'zod';
import { instantSchema } from './common.js';

/** The file name under which the server hands out its authority's certificate. */
export const AUTHORITY_FILE = 'jarfold-authority.crt';

/** What a person needs to trust a farm's own server on a tablet; `authority` is null where a known one vouches for it. */
export const trustSchema = z
  .object({
    authority: z
      .object({
        name: z.string(),
        /** SHA-256 of the certificate in pairs of hex digits, as tablets show it. */
        fingerprint: z.string(),
        validUntil: instantSchema,
        file: z.string(),
      })
      .nullable(),
  })
  .meta({ id: 'Trust' });
export type Trust = z.infer<typeof trustSchema>;
