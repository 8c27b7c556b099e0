import type { OfflinePin } from '@jarfold/contracts';
import type { PinTries } from './tablet-record.js';

const FREE_TRIES = 5;
const FIRST_WAIT_MS = 30_000;
const LONGEST_WAIT_MS = 900_000;
const KEY_BITS = 256;

/**
 * Whether a PIN is the one this tablet was told to expect, without the server. It protects who is named in the log and
 * not the farm's data: whoever can read the tablet's storage can try all million PINs at leisure.
 */
export async function pinFits(pin: string, expected: OfflinePin, deviceId: string): Promise<boolean> {
  const text = new TextEncoder();
  const secret = await crypto.subtle.importKey('raw', text.encode(pin), 'PBKDF2', false, ['deriveBits']);
  const salt = fromBase64Url(expected.salt);
  const inner = await crypto.subtle.deriveBits(
    { name: 'PBKDF2', hash: 'SHA-256', salt, iterations: expected.iterations },
    secret,
    KEY_BITS,
  );
  const key = await crypto.subtle.importKey('raw', inner, { name: 'HMAC', hash: 'SHA-256' }, false, ['verify']);
  return crypto.subtle.verify('HMAC', key, fromBase64Url(expected.verifier), text.encode(deviceId));
}

/** How long to wait before the next try, milliseconds: nothing for the first wrong ones, then doubling. */
export function waitBeforePinMs(tries: PinTries | undefined, nowMs: number): number {
  if (!tries || tries.wrong < FREE_TRIES) return 0;
  const waitMs = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (tries.wrong - FREE_TRIES));
  const passedMs = nowMs - tries.lastMs;
  // A clock set back must not lengthen the wait without end, nor may one set forward end it at once on a later day.
  return passedMs < 0 ? waitMs : Math.max(0, waitMs - passedMs);
}

function fromBase64Url(text: string): Uint8Array<ArrayBuffer> {
  const binary = atob(text.replaceAll('-', '+').replaceAll('_', '/'));
  return Uint8Array.from(binary, (character) => character.charCodeAt(0));
}
