import { describe, expect, it } from '@jest/globals';
import {
  PIN_SESSION_IDLE_MS,
  SESSION_IDLE_MS,
  sessionEndsAtMs,
  sessionState,
  shouldTouch,
} from './session-lifetime.js';

const open = { lastSeenAtMs: 1_000, expiresAtMs: 1_000 + 3 * SESSION_IDLE_MS, revokedAtMs: null, byPin: false };

describe('how long a session lasts', () => {
  it('ends when it was not used for the idle time, to the millisecond', () => {
    expect(sessionState(open, 999 + SESSION_IDLE_MS)).toBe('open');
    expect(sessionState(open, 1_000 + SESSION_IDLE_MS)).toBe('idle-too-long');
  });

  it('by PIN it ends after half an hour', () => {
    const byPin = { ...open, byPin: true };
    expect(sessionState(byPin, 999 + PIN_SESSION_IDLE_MS)).toBe('open');
    expect(sessionState(byPin, 1_000 + PIN_SESSION_IDLE_MS)).toBe('idle-too-long');
    expect(sessionEndsAtMs(byPin)).toBe(1_000 + PIN_SESSION_IDLE_MS);
  });

  it('ends at its last moment however often it is used', () => {
    const busy = { ...open, lastSeenAtMs: open.expiresAtMs - 1 };
    expect(sessionState(busy, open.expiresAtMs - 1)).toBe('open');
    expect(sessionState(busy, open.expiresAtMs)).toBe('expired');
    expect(sessionEndsAtMs(busy)).toBe(open.expiresAtMs);
  });

  it('ends at once when it is revoked', () => {
    expect(sessionState({ ...open, revokedAtMs: 1_001 }, 1_002)).toBe('revoked');
  });

  it('writes its use back once a minute, not on every read', () => {
    expect(shouldTouch(0, 59_999)).toBe(false);
    expect(shouldTouch(0, 60_000)).toBe(true);
  });
});
