import { type ContaminationHazard, remainingRisk } from '../contamination/contamination-hazard.js';
import { requireThat } from '../errors.js';

/** Fewer contaminations than this do not show when a farm's jars spoil. */
const FEWEST_EVENTS = 20;

/**
 * Chance that a jar that was seen clean still ends ripe: the loss of its strain, less what it has already come through.
 * When jars spoil is learnt from the farm's own; until there are enough, every day is as dangerous as the next.
 * @param lossRate share of started jars lost before they are ripe, 0 to below 1
 * @param seenCleanDays days since inoculation at the last look that found nothing, 0 or more
 * @throws DomainError `rate-out-of-range`, `time-out-of-range`
 * @example survivalWhenClean(0.1, 14, 14, null) // 1: it has come through
 */
export function survivalWhenClean(
  lossRate: number,
  seenCleanDays: number,
  daysToRipe: number,
  hazard: ContaminationHazard | null,
): number {
  requireThat(lossRate >= 0 && lossRate < 1, 'rate-out-of-range', `A loss is a share below 1, not ${lossRate}.`);
  requireThat(
    seenCleanDays >= 0 && daysToRipe > 0,
    'time-out-of-range',
    `Days are 0 or more, not ${seenCleanDays} of ${daysToRipe}.`,
  );
  return (1 - lossRate) ** shareAhead(Math.min(seenCleanDays, daysToRipe), daysToRipe, hazard);
}

/** Share of the danger until ripe that still lies ahead. */
function shareAhead(day: number, daysToRipe: number, hazard: ContaminationHazard | null): number {
  const even = 1 - day / daysToRipe;
  if (hazard === null || hazard.contaminated < FEWEST_EVENTS) return even;
  const danger = (from: number) => -Math.log1p(-Math.min(1 - 1e-9, remainingRisk(hazard, from, daysToRipe)));
  const whole = danger(0);
  return whole > 0 ? danger(day) / whole : even;
}
