import { createHash } from 'node:crypto';

/** SHA-256, hex, of a value's JSON. */
export const digestOf = (value: unknown): string => createHash('sha256').update(JSON.stringify(value)).digest('hex');

/** An id that follows from what it is made of (RFC 9562, version 8: 122 bits of a digest). */
export function namedId(parts: readonly unknown[]): string {
  const hex = digestOf(parts);
  const variant = ((Number.parseInt(hex[16] ?? '0', 16) & 0x3) | 0x8).toString(16);
  return [
    hex.slice(0, 8),
    hex.slice(8, 12),
    `8${hex.slice(13, 16)}`,
    variant + hex.slice(17, 20),
    hex.slice(20, 32),
  ].join('-');
}
