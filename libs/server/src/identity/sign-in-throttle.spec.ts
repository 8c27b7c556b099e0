import { describe, expect, it } from '@jest/globals';
import { countAttempt, type ThrottlePolicy, type ThrottleState, throttleKey } from './sign-in-throttle.js';

const policy: ThrottlePolicy = { freeTries: 3, windowMs: 10_000, firstPauseMs: 1_000, longestPauseMs: 5_000 };

/** Fails as often as it may, waiting out each pause; answers the pauses in milliseconds. */
function pausesOf(tries: number): number[] {
  const pauses: number[] = [];
  let state: ThrottleState | null = null;
  let nowMs = 0;
  for (let at = 0; at < tries; at += 1) {
    const attempt = countAttempt(policy, state, nowMs);
    if (!attempt.allowed) throw new Error('waited too short');
    state = attempt.next;
    const pauseMs = state.lockedUntilMs === null ? 0 : state.lockedUntilMs - nowMs;
    pauses.push(pauseMs);
    nowMs += pauseMs;
  }
  return pauses;
}

describe('the throttle of sign-ins', () => {
  it('lets the free tries through, then doubles the pause up to the longest', () => {
    expect(pausesOf(7)).toEqual([0, 0, 1_000, 2_000, 4_000, 5_000, 5_000]);
  });

  it('refuses during a pause, says how long is left and counts nothing', () => {
    const state = { failures: 3, windowStartedAtMs: 0, lockedUntilMs: 1_000 };
    expect(countAttempt(policy, state, 400)).toEqual({ allowed: false, retryAfterMs: 600 });
    expect(countAttempt(policy, state, 1_000)).toMatchObject({ allowed: true, next: { failures: 4 } });
  });

  it('forgets failures once a window has passed since the first one or the end of the last pause', () => {
    const early = { failures: 2, windowStartedAtMs: 0, lockedUntilMs: null };
    expect(countAttempt(policy, early, 9_999)).toMatchObject({ next: { failures: 3, windowStartedAtMs: 0 } });
    expect(countAttempt(policy, early, 10_000)).toMatchObject({ next: { failures: 1, windowStartedAtMs: 10_000 } });
    const paused = { failures: 9, windowStartedAtMs: 0, lockedUntilMs: 12_000 };
    expect(countAttempt(policy, paused, 21_999)).toMatchObject({ next: { failures: 10 } });
    expect(countAttempt(policy, paused, 22_000)).toMatchObject({ next: { failures: 1 } });
  });

  it('keeps no address of a person in its keys, and keeps parts apart', () => {
    expect(throttleKey('account', 'a@example.org')).not.toContain('example');
    expect(throttleKey('pair', 'ab', 'c')).not.toBe(throttleKey('pair', 'a', 'bc'));
  });
});
