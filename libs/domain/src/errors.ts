/**
 * A broken precondition: the caller passed something the calculation has no meaning for. Expected answers such as
 * "not enough data" are returned as tagged results, never thrown.
 *
 * `code` is stable and safe to translate; `message` is English for logs and developers.
 */
export class DomainError extends Error {
  override readonly name = 'DomainError';

  readonly code: string;
  readonly details: Readonly<Record<string, unknown>>;

  constructor(code: string, message: string, details: Readonly<Record<string, unknown>> = {}) {
    super(message);
    this.code = code;
    this.details = details;
  }
}

/** Throws a {@link DomainError} unless the condition holds. */
export function requireThat(
  condition: boolean,
  code: string,
  message: string,
  details: Readonly<Record<string, unknown>> = {},
): asserts condition {
  if (!condition) throw new DomainError(code, message, details);
}
