import { randomBytes } from 'node:crypto';

/** Time and ids come in as arguments everywhere else; these two are where they come from. */
export interface Clock {
  now(): Date;
}

export interface Ids {
  /** A fresh UUID version 7 (RFC 9562 section 5.7): ordered by time, so that indexes grow at one end. */
  next(): string;
}

export const systemClock: Clock = { now: () => new Date() };

export function timeOrderedIds(clock: Clock): Ids {
  return { next: () => uuidV7(clock.now().getTime(), randomBytes(10)) };
}

/** RFC 9562 figure 11: 48 bits of Unix milliseconds, version, 12 random bits, variant, 62 random bits. */
export function uuidV7(epochMs: number, random: Uint8Array): string {
  const bytes = Buffer.alloc(16);
  bytes.writeUIntBE(epochMs, 0, 6);
  bytes.set(random.subarray(0, 10), 6);
  bytes[6] = (bytes[6]! & 0x0f) | 0x70;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = bytes.toString('hex');
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join('-');
}

export const systemIds: Ids = timeOrderedIds(systemClock);
