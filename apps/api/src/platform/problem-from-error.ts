import { PROBLEMS, type Problem, type ProblemCode, type ProblemError } from '@jarfold/contracts';
import { DomainError } from '@jarfold/domain';
import { AppError, type AppErrorDetails } from '@jarfold/server/platform';
import { HttpException } from '@nestjs/common';

/** What is known of a failure before it becomes an answer. */
export interface Failure {
  readonly code: ProblemCode;
  readonly detail: string;
  readonly extensions: Readonly<Record<string, unknown>>;
  /** True when it is our fault: the cause is logged, and the reader is told nothing of it. */
  readonly unexpected: boolean;
}

/** Input that does not fit the schema of its route. */
export class InvalidInput extends Error {
  readonly errors: readonly ProblemError[];

  constructor(errors: readonly ProblemError[]) {
    super(`The input does not fit the contract: ${errors.length} ${errors.length === 1 ? 'error' : 'errors'}.`);
    this.errors = errors;
  }
}

/** Codes of the HTTP layer below us (Fastify) that are the caller's doing. */
const HTTP_LAYER: Readonly<Record<string, readonly [ProblemCode, string]>> = {
  FST_ERR_CTP_INVALID_JSON_BODY: [
    'malformed-json',
    'The body is not valid JSON, or holds a key that is never accepted (__proto__, constructor); nothing was changed.',
  ],
  FST_ERR_CTP_EMPTY_JSON_BODY: ['malformed-json', 'The body is announced as JSON but is empty; nothing was changed.'],
  FST_ERR_CTP_INVALID_CONTENT_LENGTH: [
    'malformed-request',
    'The body is not as long as its Content-Length header says; nothing was changed.',
  ],
  FST_ERR_CTP_INVALID_MEDIA_TYPE: [
    'unsupported-media-type',
    'The body is not of a type this address takes: send Content-Type: application/json.',
  ],
  FST_ERR_BAD_URL: ['malformed-address', 'The path holds a broken percent-encoding.'],
  FST_ERR_PARAM_LENGTH: ['address-too-long', 'A part of the path is longer than 100 characters.'],
  FST_ERR_MAX_PARAM_LENGTH: ['address-too-long', 'A part of the path is longer than 100 characters.'],
  FST_ERR_HANDLER_TIMEOUT: ['unavailable', 'The answer took too long.'],
};

/**
 * Turns whatever was thrown into a failure that can be told. Anything unknown becomes a bare `internal`: its message may
 * hold names, ids or statements of a farm, so it goes to the log only.
 */
export function failureFrom(thrown: unknown, bodyLimitBytes: number): Failure {
  const error = unwrapped(thrown);
  if (error instanceof AppError) return expected(error.code, error.message, tellable(error.details));
  if (error instanceof InvalidInput) return expected('invalid-input', error.message, { errors: error.errors });
  if (error instanceof DomainError) return expected('rule-refused', error.message, { rule: error.code });
  const code = codeOf(error);
  if (code === 'FST_ERR_CTP_BODY_TOO_LARGE') {
    return expected('too-large', `The body is larger than ${bodyLimitBytes} bytes; nothing was changed.`);
  }
  const known = code === undefined ? undefined : HTTP_LAYER[code];
  if (known) return expected(known[0], known[1]);
  if (error instanceof HttpException) return fromHttpException(error);
  return {
    code: 'internal',
    detail: 'Something went wrong on our side; nothing more is known here.',
    extensions: {},
    unexpected: true,
  };
}

/** The framework wraps what the HTTP layer threw; the layer's own error knows more. */
function unwrapped(error: unknown): unknown {
  return error instanceof HttpException && codeOf(error.cause)?.startsWith('FST_') ? error.cause : error;
}

/** A service points at a field of the body unless it says otherwise. */
function tellable(details: AppErrorDetails): Readonly<Record<string, unknown>> {
  const { errors, ...rest } = details;
  return errors ? { ...rest, errors: errors.map((error) => ({ in: 'body', ...error })) } : rest;
}

function expected(code: ProblemCode, detail: string, extensions: Readonly<Record<string, unknown>> = {}): Failure {
  return { code, detail, extensions, unexpected: PROBLEMS[code].status >= 500 && code !== 'unavailable' };
}

function codeOf(error: unknown): string | undefined {
  const code = error instanceof Error ? (error as Error & { code?: unknown }).code : undefined;
  return typeof code === 'string' ? code : undefined;
}

/** What the framework itself throws: an unknown route, a request from another site. */
function fromHttpException(error: HttpException): Failure {
  const status = error.getStatus();
  if (status === 404) return expected('not-found', 'There is nothing at this address.');
  if (status === 403) {
    return expected('cross-origin', 'A page of another site sent this change; it was not carried out.');
  }
  if (status === 413) return expected('too-large', 'The body is too large; nothing was changed.');
  if (status === 415) return expected('unsupported-media-type', 'The body is of a type this address does not take.');
  if (status === 429) return expected('too-many-requests', error.message);
  if (status >= 500)
    return { code: 'internal', detail: 'Something went wrong on our side.', extensions: {}, unexpected: true };
  return expected('malformed-request', 'The request cannot be read as sent.');
}

/** The answer's body (RFC 9457). */
export function problemBody(failure: Failure, correlationId: string): Problem {
  const kind = PROBLEMS[failure.code];
  return {
    ...failure.extensions,
    type: `/problems/${failure.code}`,
    title: kind.title,
    status: kind.status,
    detail: failure.detail,
    instance: `urn:uuid:${correlationId}`,
    code: failure.code,
    correlationId,
  };
}
