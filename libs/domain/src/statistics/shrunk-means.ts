import { requireThat } from '../errors.js';
import { normalQuantile } from './distributions.js';
import { type Estimate, usualLevel } from './estimate.js';

/** Measured values of one group: a strain on a substrate, a room. */
export interface MeanGroup {
  readonly key: string;
  readonly mean: number;
  readonly n: number;
  /** Variance of the mean (not of one value), above 0. */
  readonly variance: number;
}

export interface ShrunkMean {
  readonly key: string;
  readonly observed: number;
  readonly shrunk: Estimate;
  /** Share of the way toward the common mean: 0 not at all, 1 all the way. */
  readonly pull: number;
}

/**
 * Means of several groups, each drawn toward the common mean as far as its scatter deserves (James and Stein; Morris
 * 1983 for unlike variances). Fewer than four groups are drawn toward the given start instead.
 * @param start published mean and the variance the farm's groups may have around it
 * @throws DomainError `variance-out-of-range`
 * Source: Efron and Morris, Scientific American 236 (1977): shrinkage 0.212 on 18 batting averages.
 */
export function shrunkMeans(
  groups: readonly MeanGroup[],
  start: { readonly mean: number; readonly variance: number },
  level: number = usualLevel,
): readonly ShrunkMean[] {
  for (const { key, mean, variance } of groups)
    requireThat(
      variance > 0 && Number.isFinite(variance) && Number.isFinite(mean),
      'variance-out-of-range',
      `Group ${key} needs a mean and a variance above 0, not ${mean} and ${variance}.`,
    );
  requireThat(start.variance > 0, 'variance-out-of-range', `A start needs a variance above 0, not ${start.variance}.`);
  const z = normalQuantile(1 - (1 - level) / 2);
  const common =
    groups.length >= 4 ? betweenGroups(groups) : { centre: start.mean, between: start.variance, correction: 1 };
  return groups.map(({ key, mean, n, variance }) => {
    const pull = (common.correction * variance) / (variance + common.between);
    const value = mean + pull * (common.centre - mean);
    const half = z * Math.sqrt(variance * (1 - pull) + (pull * variance) / Math.max(1, groups.length));
    return {
      key,
      observed: mean,
      pull,
      shrunk: { kind: 'estimate', value, low: value - half, high: value + half, level, n },
    };
  });
}

/** Common mean and variance between groups, by moments; the correction makes equal variances James–Stein exactly. */
function betweenGroups(groups: readonly MeanGroup[]) {
  const k = groups.length;
  let between = 0;
  let centre = 0;
  for (let round = 0; round < 50; round++) {
    const weights = groups.map(({ variance }) => 1 / (variance + between));
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    centre = groups.reduce((sum, { mean }, i) => sum + weights[i]! * mean, 0) / total;
    const spread =
      groups.reduce(
        (sum, { mean, variance }, i) => sum + weights[i]! * ((k / (k - 1)) * (mean - centre) ** 2 - variance),
        0,
      ) / total;
    if (Math.abs(spread - between) < 1e-12 * (1 + between)) break;
    between = Math.max(0, spread);
  }
  return { centre, between, correction: (k - 3) / (k - 1) };
}
