import { requireThat } from '../errors.js';
import type { RipeningDays } from './days-to-ripe.js';

/**
 * Chance that a growing jar is ripe by a day, given that it was still unripe at its last look: a jar unripe on day 15 of a
 * strain that takes 14 is late, not new.
 * @param ripening of its strain, or of its generation or room where those are known apart
 * @param unripeAtDays days since inoculation of the last look that found it unripe; 0 when it was never looked at
 * @param byDays days since inoculation of the day asked about, no earlier
 * @throws DomainError `time-out-of-range`
 */
export function chanceRipeBy({ shape, scaleDays }: RipeningDays, unripeAtDays: number, byDays: number): number {
  requireThat(
    unripeAtDays >= 0 && byDays >= unripeAtDays && Number.isFinite(byDays),
    'time-out-of-range',
    `A day asked about comes no earlier than the last look: ${byDays} after ${unripeAtDays}.`,
  );
  return 1 - Math.exp((unripeAtDays / scaleDays) ** shape - (byDays / scaleDays) ** shape);
}

/**
 * The day since inoculation by which a growing jar is ripe with a chance, given that it was unripe at its last look.
 * @param chance 0 to below 1, such as 0.9 for a careful plan
 * @throws DomainError `time-out-of-range`, `chance-out-of-range`
 * @example ripeByWithChance(ripening, 0, 0.9) // the strain's late days
 */
export function ripeByWithChance({ shape, scaleDays }: RipeningDays, unripeAtDays: number, chance: number): number {
  requireThat(
    unripeAtDays >= 0 && Number.isFinite(unripeAtDays),
    'time-out-of-range',
    `Days since inoculation are 0 or more, not ${unripeAtDays}.`,
  );
  requireThat(chance >= 0 && chance < 1, 'chance-out-of-range', `A chance lies from 0 to below 1, not ${chance}.`);
  return scaleDays * ((unripeAtDays / scaleDays) ** shape - Math.log1p(-chance)) ** (1 / shape);
}
