const FIRST_MS = 1000;
const LONGEST_MS = 60_000;

/**
 * How long to wait before trying again: doubling from one second to a minute, with up to half of it left to chance so
 * that the tablets of a farm do not all come back in the same instant.
 * @param failures failed tries in a row, 1 or more
 * @param fraction a random number from 0 to below 1
 */
export function backoffMs(failures: number, fraction: number): number {
  const fullMs = Math.min(LONGEST_MS, FIRST_MS * 2 ** Math.max(0, failures - 1));
  return Math.round(fullMs * (0.5 + fraction / 2));
}
