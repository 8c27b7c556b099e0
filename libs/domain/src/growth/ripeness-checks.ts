import { requireThat } from '../errors.js';
import type { Between } from '../statistics/weibull.js';

/** A look at a jar: days since inoculation, and whether it was ripe. */
export interface RipenessCheck {
  readonly days: number;
  readonly ripe: boolean;
}

export type RipeBetween =
  | ({ readonly kind: 'between' } & Between)
  /** Seen unripe after it was seen ripe: one of the looks, or a clock, is wrong. The jar is left out of the rates. */
  | { readonly kind: 'contradiction'; readonly ripeOnDay: number; readonly unripeOnDay: number }
  | { readonly kind: 'unseen' };

/**
 * What a jar's checks say of the day it became ripe: after the last look that found it unripe, by the first that found
 * it ripe. Checks may come in any order. A jar ripe at its first look ripened some time before.
 * @throws DomainError `time-out-of-range` for a look before inoculation: a clock has jumped
 */
export function ripeBetween(checks: readonly RipenessCheck[]): RipeBetween {
  for (const { days } of checks)
    requireThat(
      days >= 0 && Number.isFinite(days),
      'time-out-of-range',
      `A jar was looked at ${days} days after its inoculation: the tablet's clock or the date is wrong.`,
    );
  if (checks.length === 0) return { kind: 'unseen' };
  const ripe = checks.filter((check) => check.ripe).map(({ days }) => days);
  const unripe = checks.filter((check) => !check.ripe).map(({ days }) => days);
  const afterDays = Math.max(0, ...unripe);
  if (ripe.length === 0) return { kind: 'between', afterDays, byDays: null };
  const byDays = Math.min(...ripe);
  if (unripe.length > 0 && afterDays >= byDays)
    return { kind: 'contradiction', ripeOnDay: byDays, unripeOnDay: afterDays };
  return { kind: 'between', afterDays, byDays };
}
