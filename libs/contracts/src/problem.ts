import { z } from 'zod';

/** One kind of problem: what the answer's status is, what it is called, and what the reader can do about it. */
export interface ProblemKind {
  readonly status: number;
  readonly title: string;
  readonly advice: string;
}

/**
 * Every problem the service can answer with, by its stable code: the one table from code to status. A code is part of
 * the interface (programs branch on it, screens translate it); a sentence is not.
 *
 * The `type` of a problem is `/problems/<code>`, an address on the same server that explains it (RFC 9457 section 3.1.1
 * allows a relative reference).
 */
export const PROBLEMS = {
  'malformed-json': {
    status: 400,
    title: 'The body is not JSON',
    advice: 'Send one JSON value, encoded as UTF-8, in the request body.',
  },
  'malformed-address': {
    status: 400,
    title: 'The address cannot be read',
    advice: 'Percent-encode what is not a letter, a digit or one of - . _ ~ in the path and query.',
  },
  'malformed-request': {
    status: 400,
    title: 'The request breaks the rules of HTTP',
    advice: 'Check the request line, the headers and the stated length of the body.',
  },
  'invalid-input': {
    status: 400,
    title: 'The input does not fit the contract',
    advice: 'Correct each field listed under errors; nothing was changed.',
  },
  'sign-in-required': {
    status: 401,
    title: 'Sign in first',
    advice: 'Sign in with POST /api/session and send the cookie it sets. A session ends by itself when it is not used.',
  },
  'wrong-credentials': {
    status: 401,
    title: 'The e-mail address and password do not match an account',
    advice: 'Check both and try again; after several failures there is a pause between tries.',
  },
  'device-not-enrolled': {
    status: 401,
    title: 'This browser is not an enrolled tablet',
    advice: 'An owner makes a one-time code at a desk; type it on this tablet. Unsent work stays where it is.',
  },
  'wrong-pin': {
    status: 401,
    title: 'The PIN is not right',
    advice: 'Try again; after several failures there is a pause between tries. An owner can set a new PIN at a desk.',
  },
  'operator-token-required': {
    status: 401,
    title: 'Adding a farm needs the operator token',
    advice: 'Send the token the operator of this server set, as Authorization: Bearer <token>.',
  },
  'setup-token-refused': {
    status: 403,
    title: 'The set-up link does not work',
    advice: 'A set-up link works once and for a day. Start Jarfold again to get a new one printed.',
  },
  'sign-up-closed': {
    status: 403,
    title: 'This server takes no new farms',
    advice: 'Ask its operator, who can set JARFOLD_OPERATOR_TOKEN or JARFOLD_SIGN_UP=open.',
  },
  'role-too-low': {
    status: 403,
    title: 'Your role does not allow this',
    advice: 'Ask an owner of the farm, or a lead where the message says so.',
  },
  'device-revoked': {
    status: 403,
    title: 'This device may no longer send bench entries',
    advice: 'Its owner took it out of service. Save the unsent work to a file and send it from another device.',
  },
  'device-mismatch': {
    status: 403,
    title: 'That is the id of another device',
    advice:
      'An enrolled tablet sends its own entries only. Give unsent work of another device new numbers and send it as yours.',
  },
  'other-farm': {
    status: 403,
    title: 'This is the work of another farm',
    advice: 'Somebody of another farm is signed in here. Sign in to the farm whose work this tablet holds.',
  },
  'enrolment-code-refused': {
    status: 403,
    title: 'The code does not work',
    advice: 'A code works once and for a quarter of an hour. An owner can make a new one at a desk.',
  },
  'password-needed': {
    status: 403,
    title: 'This needs a sign-in with a password',
    advice:
      'Signed in by PIN, a shared tablet does bench work only. Sign in with e-mail address and password at a desk.',
  },
  'cross-origin': {
    status: 403,
    title: 'The request came from another site',
    advice: 'Changes are accepted from the app itself and from programs, not from pages of other sites.',
  },
  'not-found': {
    status: 404,
    title: 'There is nothing at this address',
    advice: 'Check the address and the id; it may belong to another farm or have been removed.',
  },
  'method-not-allowed': {
    status: 405,
    title: 'This address does not take that method',
    advice: 'Use one of the methods in the Allow header.',
  },
  'timed-out': {
    status: 408,
    title: 'The request took too long to arrive',
    advice: 'Send it again.',
  },
  conflict: {
    status: 409,
    title: 'This clashes with what is stored',
    advice: 'Read the current state, decide again, and send that.',
  },
  'protocol-unsupported': {
    status: 409,
    title: 'Tablet and server are of too different versions',
    advice:
      'The message says which of the two is older: load the app again, or bring the server up to date. Unsent work stays on the tablet and is sent afterwards.',
  },
  'photo-differs': {
    status: 409,
    title: 'A photo with this id is stored with another content',
    advice: 'Give a new photo a new id. Nothing was changed.',
  },
  'email-taken': {
    status: 409,
    title: 'That e-mail address already has an account',
    advice: 'Sign in with it, or use another address.',
  },
  'already-set-up': {
    status: 409,
    title: 'This server is already set up',
    advice: 'Sign in with the owner account that was made.',
  },
  'revision-stale': {
    status: 412,
    title: 'Someone changed this since you read it',
    advice: 'Read it again, decide again, and send the new revision in If-Match.',
  },
  'too-large': {
    status: 413,
    title: 'The body is too large',
    advice: 'Send less at once; the limit is in the message.',
  },
  'address-too-long': {
    status: 414,
    title: 'The address is too long',
    advice: 'An id in a path has at most 100 characters.',
  },
  'unsupported-media-type': {
    status: 415,
    title: 'The body is of a type this address does not take',
    advice: 'Send Content-Type: application/json.',
  },
  'rule-refused': {
    status: 422,
    title: 'The rules of the farm do not allow this',
    advice: 'The message says which rule and what would satisfy it; nothing was changed.',
  },
  'entry-differs': {
    status: 422,
    title: 'An entry with this id is recorded with another content',
    advice:
      'Give a new entry a new id. To change what is recorded, send a correcting entry. Nothing of this request was kept.',
  },
  'sequence-spent': {
    status: 422,
    title: 'This device has used that sequence number for another entry',
    advice: 'Two devices share one id, or one was restored from a copy: give this device a new id and send again.',
  },
  'revision-required': {
    status: 428,
    title: 'Say which revision you changed',
    advice: 'Send the revision you read in the If-Match header, as "<revision>".',
  },
  'too-many-requests': {
    status: 429,
    title: 'Too many requests',
    advice: 'Wait for the seconds in the Retry-After header, then try again.',
  },
  'too-many-sign-ins': {
    status: 429,
    title: 'Too many failed tries to sign in',
    advice: 'Wait for the seconds in the Retry-After header, then try again. Sessions that are open keep working.',
  },
  'headers-too-large': {
    status: 431,
    title: 'The headers are too large',
    advice: 'Send fewer or shorter headers and cookies.',
  },
  internal: {
    status: 500,
    title: 'Something went wrong on the server',
    advice: 'Try again; if it stays, give the operator the correlation id.',
  },
  unavailable: {
    status: 503,
    title: 'The service cannot answer just now',
    advice: 'It recovers by itself when its database answers again; try again in a few seconds.',
  },
} as const satisfies Record<string, ProblemKind>;

export type ProblemCode = keyof typeof PROBLEMS;

export const problemCodes = Object.keys(PROBLEMS) as [ProblemCode, ...ProblemCode[]];

/** Where a value that was refused stood: a JSON Pointer (RFC 6901) into the body, the query or the path parameters. */
export const problemErrorSchema = z
  .strictObject({
    in: z.enum(['body', 'query', 'path']),
    pointer: z.string().meta({ description: 'JSON Pointer (RFC 6901); empty for the whole', examples: ['/massG'] }),
    detail: z.string(),
  })
  .meta({ id: 'ProblemError' });
export type ProblemError = z.infer<typeof problemErrorSchema>;

/** An error answer (RFC 9457), media type application/problem+json. Further members may follow per problem. */
export const problemSchema = z
  .looseObject({
    type: z.string().meta({ description: 'Address of the explanation', examples: ['/problems/not-found'] }),
    title: z.string(),
    status: z.int().min(400).max(599),
    detail: z.string().meta({ description: 'What happened, where, and what to do' }),
    instance: z.string().meta({ description: 'This occurrence: urn:uuid: and the correlation id' }),
    code: z.enum(problemCodes),
    correlationId: z.uuid().meta({ description: 'Also in the X-Correlation-Id header and the server log' }),
    errors: z.array(problemErrorSchema).optional(),
    retryAfterS: z.int().min(0).optional(),
  })
  .meta({ id: 'Problem' });
export type Problem = z.infer<typeof problemSchema>;

/** A problem as its own address explains it. */
export const problemKindSchema = z
  .object({ code: z.enum(problemCodes), type: z.string(), status: z.int(), title: z.string(), advice: z.string() })
  .meta({ id: 'ProblemKind' });
export const problemKindListSchema = z.object({ items: z.array(problemKindSchema) }).meta({ id: 'ProblemKindList' });
