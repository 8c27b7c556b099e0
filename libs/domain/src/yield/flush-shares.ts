import { requireThat } from '../errors.js';
import { customary, type Published } from '../species/published-value.js';

/**
 * Share of the harvest by flush to start from. No open table of grams by flush was found; handbooks only say that the
 * first is the largest.
 */
export const usualFlushShares: readonly Published[] = [
  customary(0.58, { range: [0.5, 0.65], note: 'oyster; unchecked' }),
  customary(0.28, { range: [0.25, 0.3], note: 'oyster; unchecked' }),
  customary(0.14, { range: [0.1, 0.15], note: 'oyster; unchecked' }),
];

/** The usual shares are worth this many runs. */
const PRIOR_RUNS = 3;

/**
 * Share of the harvest by flush, from the farm's finished runs drawn toward the usual shares while they are few.
 * @param runs grams by flush of each finished run, first flush first
 * @param flushes how many flushes the farm takes, 1 or more
 * @returns shares that add up to 1
 * @throws DomainError `flush-out-of-range`, `mass-out-of-range`
 */
export function flushShares(runs: readonly (readonly number[])[], flushes: number): readonly number[] {
  requireThat(
    Number.isInteger(flushes) && flushes >= 1 && flushes <= 12,
    'flush-out-of-range',
    `A farm takes 1 to 12 flushes, not ${flushes}.`,
  );
  const start = Array.from(
    { length: flushes },
    (_, i) => usualFlushShares[i]?.value ?? usualFlushShares.at(-1)!.value * 0.5 ** (i - usualFlushShares.length + 1),
  );
  const sums = normalised(start).map((share) => share * PRIOR_RUNS);
  for (const grams of runs) {
    for (const value of grams)
      requireThat(value >= 0 && Number.isFinite(value), 'mass-out-of-range', `A flush of ${value} g cannot be.`);
    const total = grams.slice(0, flushes).reduce((sum, value) => sum + value, 0);
    if (total > 0) for (let i = 0; i < flushes; i++) sums[i]! += (grams[i] ?? 0) / total;
  }
  return normalised(sums);
}

function normalised(values: readonly number[]): number[] {
  const total = values.reduce((sum, value) => sum + value, 0);
  return values.map((value) => value / total);
}
