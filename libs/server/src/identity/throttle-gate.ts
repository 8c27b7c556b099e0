import { AppError, type PlatformDb } from '../platform/index.js';
import { clearThrottles, lockThrottles, saveThrottle } from './identity-repository.js';
import { networkOf } from './network-of.js';
import { countAttempt, type ThrottlePolicy, TOKEN_POLICY, throttleKey } from './sign-in-throttle.js';

export interface Gate {
  readonly key: string;
  readonly policy: ThrottlePolicy;
}

/**
 * Counts a try against every gate, or refuses it when one of them is in a pause; a refused try counts nowhere.
 * @throws AppError `too-many-sign-ins` with the seconds to wait.
 */
export function admit(db: PlatformDb, gates: readonly Gate[], now: Date): Promise<void> {
  return db.run(async (tx) => {
    const states = await lockThrottles(
      tx,
      gates.map(({ key }) => key),
      now,
    );
    const attempts = gates.map(({ key, policy }) => ({
      key,
      attempt: countAttempt(policy, states.get(key) ?? null, now.getTime()),
    }));
    const waitMs = Math.max(0, ...attempts.map(({ attempt }) => (attempt.allowed ? 0 : attempt.retryAfterMs)));
    if (waitMs > 0) throw tooMany(Math.ceil(waitMs / 1000));
    for (const { key, attempt } of attempts) {
      if (attempt.allowed) await saveThrottle(tx, key, attempt.next);
    }
  });
}

/** Forgets the tries of somebody who got it right. */
export function clearTries(db: PlatformDb, keys: readonly string[]): Promise<void> {
  return db.run((tx) => clearThrottles(tx, [...keys]));
}

/**
 * Counts a try to make a farm from an address.
 * @throws AppError `too-many-sign-ins`.
 */
export function countTokenTry(db: PlatformDb, address: string, now = new Date()): Promise<void> {
  return admit(db, [{ key: throttleKey('new-farm', networkOf(address)), policy: TOKEN_POLICY }], now);
}

function tooMany(retryAfterS: number): AppError {
  return new AppError('too-many-sign-ins', `Too many tries failed: wait ${retryAfterS} seconds, then try again.`, {
    retryAfterS,
  });
}
