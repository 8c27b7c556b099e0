import { createHmac, pbkdf2Sync, randomBytes } from 'node:crypto';
import { describe, expect, it } from '@jest/globals';
import { pinFits, waitBeforePinMs } from './offline-pin.js';

const DEVICE = '00000000-0000-4000-8000-000000000042';

/** The verifier as Node's own crypto makes it: another implementation than the one under test. */
function expected(pin: string, iterations = 1000) {
  const salt = randomBytes(16);
  const inner = pbkdf2Sync(pin, salt, iterations, 32, 'sha256');
  const verifier = createHmac('sha256', inner).update(DEVICE).digest('base64url');
  return { algorithm: 'PBKDF2-SHA-256+HMAC' as const, iterations, salt: salt.toString('base64url'), verifier };
}

describe('a PIN checked without the server', () => {
  it('fits when it is the right one', async () =>
    expect(await pinFits('402917', expected('402917'), DEVICE)).toBe(true));
  it('does not fit when a digit differs', async () =>
    expect(await pinFits('402918', expected('402917'), DEVICE)).toBe(false));
  it('does not fit on another tablet', async () =>
    expect(await pinFits('402917', expected('402917'), DEVICE.replace('42', '43'))).toBe(false));
});

describe('waiting after wrong PINs', () => {
  const now = 1_000_000_000;
  it.each([
    [0, 0],
    [4, 0],
    [5, 30],
    [6, 60],
    [9, 480],
    [10, 900],
    [40, 900],
  ])('after %d wrong ones: %d s', (wrong, seconds) =>
    expect(waitBeforePinMs({ wrong, lastMs: now }, now)).toBe(seconds * 1000),
  );
  it('runs down', () => expect(waitBeforePinMs({ wrong: 6, lastMs: now - 45_000 }, now)).toBe(15_000));
  it('is not endless when the clock was set back', () =>
    expect(waitBeforePinMs({ wrong: 5, lastMs: now + 86_400_000 }, now)).toBe(30_000));
});
