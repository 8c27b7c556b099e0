/** Hours and days a sign-in lasts (reasons in docs/decisions/0005-sessions-and-sign-in.md). */
export const SESSION_IDLE_MS = 7 * 86_400_000;
export const SESSION_ABSOLUTE_MS = 30 * 86_400_000;

/**
 * A sign-in by PIN is for a shared tablet that anybody can pick up: half an hour unused ends it, and so does a working
 * day. The tablet locks itself sooner.
 */
export const PIN_SESSION_IDLE_MS = 30 * 60_000;
export const PIN_SESSION_ABSOLUTE_MS = 12 * 3_600_000;

/** Use is written back at most this often: a screen that polls must not turn every read into a write. */
const TOUCH_EVERY_MS = 60_000;

export interface SessionTimes {
  readonly lastSeenAtMs: number;
  readonly expiresAtMs: number;
  readonly revokedAtMs: number | null;
  /** Opened with a PIN on a shared tablet. */
  readonly byPin: boolean;
}

export type SessionState = 'open' | 'idle-too-long' | 'expired' | 'revoked';

/** What a session is at a moment. The boundary itself is already too late. */
export function sessionState(times: SessionTimes, nowMs: number): SessionState {
  if (times.revokedAtMs !== null) return 'revoked';
  if (nowMs >= times.expiresAtMs) return 'expired';
  return nowMs >= times.lastSeenAtMs + idleMs(times) ? 'idle-too-long' : 'open';
}

/** When a session will end by itself if it is not used again. */
export function sessionEndsAtMs(times: Omit<SessionTimes, 'revokedAtMs'>): number {
  return Math.min(times.expiresAtMs, times.lastSeenAtMs + idleMs(times));
}

function idleMs({ byPin }: Pick<SessionTimes, 'byPin'>): number {
  return byPin ? PIN_SESSION_IDLE_MS : SESSION_IDLE_MS;
}

export function shouldTouch(lastSeenAtMs: number, nowMs: number): boolean {
  return nowMs - lastSeenAtMs >= TOUCH_EVERY_MS;
}
