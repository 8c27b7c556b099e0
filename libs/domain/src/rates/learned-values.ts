import type { Estimate } from '../statistics/estimate.js';
import type { RipeningOfStrain } from './ripening-by-strain.js';

/** A value a plan is made with: the farm's own word, what its log taught, or what is published of its species. */
export interface PlanValue {
  readonly value: number;
  readonly origin: 'farm' | 'learned' | 'species';
  /** Jars of the farm's own log it rests on; 0 unless learned. */
  readonly n: number;
  readonly low: number | null;
  readonly high: number | null;
}

/** A plan that changed with every jar looked at would never hold still: losses count in whole percent. */
const LOSS_STEPS = 100;

/**
 * The loss a strain is planned with. The farm's own word stands; a loss that was learned counts from the first jar on,
 * since it is drawn toward the published one as far as few jars deserve.
 */
export function lossForPlan(ownWord: number | null, learned: Estimate | null, published: number): PlanValue {
  const rounded = learned && { ...learned, value: Math.round(learned.value * LOSS_STEPS) / LOSS_STEPS };
  return chosen(ownWord, rounded, published);
}

/** The days to ripe a strain is planned with: usual days on this farm, in whole days and rounded up. */
export function ripeDaysForPlan(
  ownWord: number | null,
  learned: RipeningOfStrain | null,
  published: number,
): PlanValue {
  const days = learned === null || learned.jars === 0 ? null : learned.onThisFarm;
  return chosen(ownWord, days && { ...days.median, value: Math.max(1, Math.ceil(days.usualDays)) }, published);
}

function chosen(ownWord: number | null, learned: Estimate | null, published: number): PlanValue {
  if (ownWord !== null) return { value: ownWord, origin: 'farm', n: 0, low: null, high: null };
  if (learned === null || learned.n === 0) return { value: published, origin: 'species', n: 0, low: null, high: null };
  const { value, n, low, high } = learned;
  return { value, origin: 'learned', n, low, high };
}
