import { requireThat } from '../errors.js';
import { studentQuantile } from '../statistics/distributions.js';
import { type Estimate, type NotEnoughData, notEnoughData, usualLevel } from '../statistics/estimate.js';

export interface RateAndOutcome {
  /** Spawn per wet substrate, as a fraction. */
  readonly spawnRate: number;
  /** Efficiency as a fraction, or days to first harvest: whichever is asked about. */
  readonly outcome: number;
}

export interface RateEffect {
  readonly kind: 'effect';
  /** Change of the outcome for one percentage point more spawn, with interval. */
  readonly perPercent: Estimate;
  readonly correlation: number;
}

const FEWEST_RUNS = 6;

/**
 * What one percentage point more spawn did to the farm's own runs (least squares with Student's interval). Runs that
 * differ in other ways too can mislead: it is a hint, not a trial. Royse 2002 saw 9.2 days less from 1.25 to 3.75 %.
 * @throws DomainError `spawn-rate-out-of-range`
 */
export function spawnRateEffect(
  runs: readonly RateAndOutcome[],
  level: number = usualLevel,
): RateEffect | NotEnoughData {
  for (const { spawnRate, outcome } of runs)
    requireThat(
      spawnRate > 0 && spawnRate <= 1 && Number.isFinite(outcome),
      'spawn-rate-out-of-range',
      `A spawn rate is a share above 0 up to 1, not ${spawnRate}.`,
    );
  const n = runs.length;
  if (n < FEWEST_RUNS) return notEnoughData(n, FEWEST_RUNS, 'too few runs to see a trend');
  const meanRate = runs.reduce((sum, run) => sum + 100 * run.spawnRate, 0) / n;
  const mean = runs.reduce((sum, run) => sum + run.outcome, 0) / n;
  let [xx, xy, yy] = [0, 0, 0];
  for (const { spawnRate, outcome } of runs) {
    const [x, y] = [100 * spawnRate - meanRate, outcome - mean];
    xx += x * x;
    xy += x * y;
    yy += y * y;
  }
  if (xx < 1e-9) return notEnoughData(n, n + 1, 'all runs had the same spawn rate');
  const slope = xy / xx;
  const half = studentQuantile(1 - (1 - level) / 2, n - 2) * Math.sqrt(Math.max(0, yy - slope * xy) / (n - 2) / xx);
  return {
    kind: 'effect',
    perPercent: { kind: 'estimate', value: slope, low: slope - half, high: slope + half, level, n },
    correlation: yy > 0 ? xy / Math.sqrt(xx * yy) : 0,
  };
}
