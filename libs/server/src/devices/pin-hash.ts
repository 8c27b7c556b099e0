import { createHmac, pbkdf2, randomBytes } from 'node:crypto';
import { promisify } from 'node:util';
import type { OfflinePin } from '@jarfold/contracts';
import { hashPassword, passwordMatches } from '../identity/index.js';

/**
 * Rounds of PBKDF2-HMAC-SHA-256 for the check a tablet makes by itself: the least the OWASP password storage sheet names
 * for it. A browser has it built in, where argon2id would need code of its own.
 */
export const OFFLINE_ITERATIONS = 600_000;
const KEY_BYTES = 32;
const SALT_BYTES = 16;
const derive = promisify(pbkdf2);

/** What is stored of a PIN. */
export interface PinSecrets {
  readonly pinHash: string;
  readonly offlineKey: Uint8Array<ArrayBuffer>;
  readonly offlineSalt: Uint8Array<ArrayBuffer>;
  readonly offlineIterations: number;
}

export async function secretsOfPin(pin: string): Promise<PinSecrets> {
  const salt = randomBytes(SALT_BYTES);
  const key = await derive(pin, salt, OFFLINE_ITERATIONS, KEY_BYTES, 'sha256');
  return {
    pinHash: await hashPassword(pin),
    offlineKey: new Uint8Array(key),
    offlineSalt: new Uint8Array(salt),
    offlineIterations: OFFLINE_ITERATIONS,
  };
}

export function pinMatches(storedHash: string | undefined, pin: string): Promise<boolean> {
  return passwordMatches(storedHash, pin);
}

/**
 * What one tablet gets to check a PIN while it is alone. The stored key is digested with the device's id, so that what
 * is found on one tablet fits no other, and the stored key itself never leaves the server.
 */
export function offlinePin(secrets: Omit<PinSecrets, 'pinHash'>, deviceId: string): OfflinePin {
  return {
    algorithm: 'PBKDF2-SHA-256+HMAC',
    iterations: secrets.offlineIterations,
    salt: Buffer.from(secrets.offlineSalt).toString('base64url'),
    verifier: createHmac('sha256', secrets.offlineKey).update(deviceId, 'utf8').digest('base64url'),
  };
}
