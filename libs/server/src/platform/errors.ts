import { PROBLEMS, type ProblemCode } from '@jarfold/contracts';

export interface AppErrorDetails {
  /** Fields that were refused, as JSON Pointers (RFC 6901). */
  readonly errors?: readonly { readonly pointer: string; readonly detail: string; readonly in?: string }[];
  readonly retryAfterS?: number;
  readonly [key: string]: unknown;
}

/**
 * An expected "no" of a service. The code decides the HTTP status (see PROBLEMS of the contracts); the message says what
 * happened, where, and what to do, and may be shown to the person who asked.
 */
export class AppError extends Error {
  override readonly name = 'AppError';

  readonly code: ProblemCode;
  readonly details: AppErrorDetails;

  constructor(code: ProblemCode, message?: string, details: AppErrorDetails = {}, options?: ErrorOptions) {
    super(message ?? PROBLEMS[code].title, options);
    this.code = code;
    this.details = details;
  }
}
