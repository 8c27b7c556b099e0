import { createHash } from 'node:crypto';

/** How many tries something gets before it must pause, and how the pauses grow. */
export interface ThrottlePolicy {
  readonly freeTries: number;
  readonly windowMs: number;
  readonly firstPauseMs: number;
  readonly longestPauseMs: number;
}

export interface ThrottleState {
  readonly failures: number;
  readonly windowStartedAtMs: number;
  readonly lockedUntilMs: number | null;
}

export type Attempt =
  | { readonly allowed: true; readonly next: ThrottleState }
  | { readonly allowed: false; readonly retryAfterMs: number };

const MINUTE_MS = 60_000;

/**
 * Three counters per try. The pair of account and address carries the real limit, so that a stranger guessing from
 * elsewhere cannot lock the owner out; the account alone, with more room, stops guessing spread over many addresses;
 * the address alone stops one machine from walking through many accounts.
 */
export const SIGN_IN_POLICIES = {
  pair: { freeTries: 5, windowMs: 15 * MINUTE_MS, firstPauseMs: 30_000, longestPauseMs: 15 * MINUTE_MS },
  account: { freeTries: 50, windowMs: 60 * MINUTE_MS, firstPauseMs: MINUTE_MS, longestPauseMs: 15 * MINUTE_MS },
  address: { freeTries: 30, windowMs: 15 * MINUTE_MS, firstPauseMs: MINUTE_MS, longestPauseMs: 15 * MINUTE_MS },
} as const satisfies Record<string, ThrottlePolicy>;

/**
 * Tries with a PIN on an enrolled tablet, by tablet and person and by tablet alone. Counts last a day, so that pauses
 * grow to an hour and stay there: some thirty tries a day against a million PINs.
 */
export const PIN_POLICIES = {
  person: { freeTries: 5, windowMs: 24 * 60 * MINUTE_MS, firstPauseMs: 30_000, longestPauseMs: 60 * MINUTE_MS },
  device: { freeTries: 25, windowMs: 24 * 60 * MINUTE_MS, firstPauseMs: 30_000, longestPauseMs: 30 * MINUTE_MS },
} as const satisfies Record<string, ThrottlePolicy>;

/** Tries with a set-up or operator token: full-entropy secrets, so this only keeps the log and the processor quiet. */
export const TOKEN_POLICY: ThrottlePolicy = {
  freeTries: 10,
  windowMs: 15 * MINUTE_MS,
  firstPauseMs: MINUTE_MS,
  longestPauseMs: 15 * MINUTE_MS,
};

/**
 * Counts a try before its password is looked at, so that tries sent side by side are counted like tries sent one after
 * another. The try that uses up the free ones still goes through and starts the pause for the next; each later failure
 * doubles it. A success clears the row, so only failures add up.
 */
export function countAttempt(policy: ThrottlePolicy, state: ThrottleState | null, nowMs: number): Attempt {
  if (state?.lockedUntilMs != null && state.lockedUntilMs > nowMs) {
    return { allowed: false, retryAfterMs: state.lockedUntilMs - nowMs };
  }
  const current = state !== null && !isForgotten(policy, state, nowMs) ? state : freshState(nowMs);
  const failures = current.failures + 1;
  const pauseMs = pauseAfter(policy, failures);
  const lockedUntilMs = pauseMs === 0 ? null : nowMs + pauseMs;
  return { allowed: true, next: { failures, windowStartedAtMs: current.windowStartedAtMs, lockedUntilMs } };
}

/** A window counts from its first failure, or from the end of the last pause when that is later. */
function isForgotten(policy: ThrottlePolicy, state: ThrottleState, nowMs: number): boolean {
  return nowMs >= Math.max(state.windowStartedAtMs, state.lockedUntilMs ?? 0) + policy.windowMs;
}

function freshState(nowMs: number): ThrottleState {
  return { failures: 0, windowStartedAtMs: nowMs, lockedUntilMs: null };
}

function pauseAfter(policy: ThrottlePolicy, failures: number): number {
  const beyond = failures - policy.freeTries;
  if (beyond < 0) return 0;
  return Math.min(policy.longestPauseMs, policy.firstPauseMs * 2 ** Math.min(beyond, 30));
}

/** A row's key: hashed, so that the table holds no addresses of people. */
export function throttleKey(kind: string, ...parts: readonly string[]): string {
  return `${kind}:${createHash('sha256').update(JSON.stringify(parts)).digest('base64url')}`;
}
