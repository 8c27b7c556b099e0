import { requireThat } from '../errors.js';
import { studentQuantile } from '../statistics/distributions.js';
import { type Estimate, type NotEnoughData, notEnoughData, usualLevel } from '../statistics/estimate.js';
import { type ShrunkMean, shrunkMeans } from '../statistics/shrunk-means.js';

/** A finished run's efficiency, with what it is compared by (strain, substrate, room). */
export interface FinishedRun {
  readonly group: string;
  readonly efficiency: number;
}

export interface GroupEfficiency {
  readonly key: string;
  /** Mean of the runs with Student's interval; needs two runs. */
  readonly observed: Estimate | NotEnoughData;
  readonly shrunk: ShrunkMean['shrunk'];
  readonly runs: number;
}

/** Runs of one strain and substrate differ by about this much (one standard deviation, as a fraction of dry mass). */
const RUN_DEVIATION = 0.2;
/** A farm's groups lie around the published value by about this much. */
export const GROUP_DEVIATION = 0.25;

/**
 * Biological efficiency by strain, substrate or room: what was seen, and what it is worth believing with so few runs.
 * @param publishedEfficiency as a fraction
 * @throws DomainError `efficiency-out-of-range`
 */
export function efficiencyByGroup(
  runs: readonly FinishedRun[],
  publishedEfficiency: number,
  level: number = usualLevel,
): readonly GroupEfficiency[] {
  for (const { group, efficiency } of runs)
    requireThat(
      efficiency >= 0 && efficiency < 10,
      'efficiency-out-of-range',
      `A run of ${group} has an efficiency of ${efficiency}; it is a fraction, 0.75 for 75 %.`,
    );
  const keys = [...new Set(runs.map(({ group }) => group))].sort();
  const values = new Map(
    keys.map((key) => [key, runs.filter(({ group }) => group === key).map(({ efficiency }) => efficiency)]),
  );
  const variance = runVariance([...values.values()]);
  const groups = keys.map((key) => {
    const own = values.get(key)!;
    return { key, mean: average(own), n: own.length, variance: variance / own.length };
  });
  const shrunk = shrunkMeans(groups, { mean: publishedEfficiency, variance: GROUP_DEVIATION ** 2 }, level);
  return keys.map((key, i) => ({
    key,
    observed: studentMean(values.get(key)!, level),
    shrunk: atLeastZero(shrunk[i]!.shrunk),
    runs: groups[i]!.n,
  }));
}

const average = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

const atLeastZero = (estimate: Estimate): Estimate => ({ ...estimate, low: Math.max(0, estimate.low) });

/** Scatter of runs within groups, with four runs' worth of the usual scatter so that two like runs are not taken for certainty. */
export function runVariance(groups: readonly (readonly number[])[]): number {
  let [squares, degrees] = [4 * RUN_DEVIATION ** 2, 4];
  for (const values of groups) {
    const mean = average(values);
    squares += values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
    degrees += values.length - 1;
  }
  return squares / degrees;
}

/** Mean with Student's interval. */
export function studentMean(values: readonly number[], level: number = usualLevel): Estimate | NotEnoughData {
  const n = values.length;
  if (n < 2) return notEnoughData(n, 2, 'one run shows no scatter');
  const mean = average(values);
  const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1);
  const half = studentQuantile(1 - (1 - level) / 2, n - 1) * Math.sqrt(variance / n);
  return { kind: 'estimate', value: mean, low: mean - half, high: mean + half, level, n };
}
