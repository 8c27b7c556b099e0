import { describe, expect, it } from '@jest/globals';
import { hashPassword, passwordMatches } from './password-hash.js';

describe('password hashes', () => {
  it('are argon2id with at least 19 MiB and 2 passes (ASVS 5.0 appendix C), salted anew each time', async () => {
    const [first, second] = await Promise.all([hashPassword('kettle lantern'), hashPassword('kettle lantern')]);
    const [, memoryKiB, passes] = /^\$argon2id\$v=19\$m=(\d+),t=(\d+),p=1\$/.exec(first) ?? [];
    expect(Number(memoryKiB)).toBeGreaterThanOrEqual(19 * 1024);
    expect(Number(passes)).toBeGreaterThanOrEqual(2);
    expect(first).not.toBe(second);
  });

  it('match the whole password and nothing but it, however its accents are encoded', async () => {
    const long = 'ü'.repeat(200);
    const stored = await hashPassword(long);
    expect(await passwordMatches(stored, long.normalize('NFD'))).toBe(true);
    expect(await passwordMatches(stored, long.slice(0, -1))).toBe(false);
  });

  it('match nothing when there is no account, after the same work', async () => {
    expect(await passwordMatches(undefined, 'kettle lantern')).toBe(false);
  });
});
