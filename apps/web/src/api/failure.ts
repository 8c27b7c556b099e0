import type { Problem } from '@jarfold/contracts';

/**
 * Why a request brought no answer to work with:
 * `problem` the server said no and said why; `unreachable` nothing came back; `unreadable` something came back that
 * does not fit the contract (an older or newer server, or something in between that is not Jarfold).
 */
export type FailureReason =
  | { readonly kind: 'problem'; readonly problem: Problem }
  | { readonly kind: 'unreachable' }
  | { readonly kind: 'unreadable'; readonly status: number };

export class RequestFailure extends Error {
  override readonly name = 'RequestFailure';

  readonly reason: FailureReason;
  /** `GET /api/week`: where it happened. */
  readonly where: string;

  constructor(reason: FailureReason, where: string) {
    super(`${where}: ${reason.kind === 'problem' ? reason.problem.detail : reason.kind}`);
    this.reason = reason;
    this.where = where;
  }
}

/** Whether the answer was: sign in first. */
export function needsSignIn(error: unknown): boolean {
  return (
    error instanceof RequestFailure &&
    error.reason.kind === 'problem' &&
    error.reason.problem.code === 'sign-in-required'
  );
}

/** What the server said about single fields, by JSON pointer (`/substrateWetKg`). */
export function fieldErrors(error: unknown): ReadonlyMap<string, string> {
  if (!(error instanceof RequestFailure) || error.reason.kind !== 'problem') return new Map();
  return new Map((error.reason.problem.errors ?? []).map(({ pointer, detail }) => [pointer, detail]));
}
