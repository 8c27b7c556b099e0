import { requireThat } from '../errors.js';

/** Mean demand per period of a series with empty periods, and its parts. */
export interface IntermittentForecast {
  /** Demand per period, 0 when nothing was ever wanted. */
  readonly perPeriod: number;
  /** Size of a demand when there is one. */
  readonly size: number;
  /** Periods from one demand to the next (Croston), or the chance of one in a period (TSB). */
  readonly intervalOrChance: number;
}

/**
 * Croston's method (Operational Research Quarterly 23, 1972): size and interval smoothed apart, at demands only; the
 * first demand and its interval start them, and empty periods at the end change nothing.
 * @param correction `sba` takes off the known bias by 1 − α/2 (Syntetos and Boylan 2005); `none` is the 1972 form
 * @throws DomainError `smoothing-out-of-range`, `demand-out-of-range`
 */
export function croston(
  values: readonly number[],
  alpha = 0.1,
  correction: 'none' | 'sba' = 'none',
): IntermittentForecast {
  requireSeries(values, alpha);
  let [size, interval, since] = [0, 0, 0];
  for (const value of values) {
    since++;
    if (value === 0) continue;
    const first = size === 0;
    size = first ? value : size + alpha * (value - size);
    interval = first ? since : interval + alpha * (since - interval);
    since = 0;
  }
  const factor = correction === 'sba' ? 1 - alpha / 2 : 1;
  return { perPeriod: interval === 0 ? 0 : (factor * size) / interval, size, intervalOrChance: interval };
}

/**
 * The method of Teunter, Syntetos and Babai (EJOR 214, 2011): the chance of a demand is updated in every period, so a
 * run that has stopped fades away. Starts from the share of periods with demand and their mean size.
 */
export function tsb(values: readonly number[], alpha = 0.1, beta = 0.1): IntermittentForecast {
  requireSeries(values, alpha);
  requireSeries(values, beta);
  const demands = values.filter((value) => value > 0);
  if (demands.length === 0) return { perPeriod: 0, size: 0, intervalOrChance: 0 };
  let chance = demands.length / values.length;
  let size = demands.reduce((sum, value) => sum + value, 0) / demands.length;
  for (const value of values) {
    chance += beta * (Number(value > 0) - chance);
    if (value > 0) size += alpha * (value - size);
  }
  return { perPeriod: chance * size, size, intervalOrChance: chance };
}

function requireSeries(values: readonly number[], alpha: number): void {
  requireThat(alpha > 0 && alpha <= 1, 'smoothing-out-of-range', `A weight lies above 0 up to 1, not ${alpha}.`);
  for (const value of values)
    requireThat(value >= 0 && Number.isFinite(value), 'demand-out-of-range', `A demand is 0 or more, not ${value}.`);
}
