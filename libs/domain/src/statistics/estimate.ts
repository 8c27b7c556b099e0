import { requireThat } from '../errors.js';

/** Where a quantity lies, with the confidence (or credible) level, such as 0.95. */
export interface Interval {
  readonly low: number;
  readonly high: number;
  readonly level: number;
}

/** A number told with its uncertainty and the count of cases it rests on. */
export interface Estimate extends Interval {
  readonly kind: 'estimate';
  readonly value: number;
  readonly n: number;
}

/** An expected answer: there is too little to say anything. */
export interface NotEnoughData {
  readonly kind: 'not enough data';
  readonly n: number;
  /** How many cases it would take at least. */
  readonly needed: number;
  readonly reason: string;
}

export const usualLevel = 0.95;

export const notEnoughData = (n: number, needed: number, reason: string): NotEnoughData => ({
  kind: 'not enough data',
  n,
  needed,
  reason,
});

export const estimate = (value: number, { low, high, level }: Interval, n: number): Estimate => ({
  kind: 'estimate',
  value,
  low,
  high,
  level,
  n,
});

/** @throws DomainError `level-out-of-range` unless 0 < level < 1. */
export function requireLevel(level: number): void {
  requireThat(
    level > 0 && level < 1,
    'level-out-of-range',
    `A level lies between 0 and 1, such as 0.95, not ${level}.`,
  );
}

/** More jars than any farm fills; beyond it the distribution functions lose their digits. */
const MOST = 1e8;

/** @throws DomainError `count-out-of-range` unless 0 ≤ hits ≤ n ≤ 100 million, both whole. */
export function requireCount(hits: number, n: number): void {
  requireThat(
    Number.isInteger(hits) && Number.isInteger(n) && hits >= 0 && hits <= n && n <= MOST,
    'count-out-of-range',
    `A count is whole and lies from 0 to its total: ${hits} of ${n} cannot be.`,
    { hits, n },
  );
}
