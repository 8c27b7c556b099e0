import { requireThat } from '../errors.js';
import { normalCdf, normalQuantile } from '../statistics/distributions.js';
import { type Interval, usualLevel } from '../statistics/estimate.js';

/** A run planned or under way, as far as its harvest goes. */
export interface HarvestRun {
  readonly id: string;
  readonly spawnedOnDay: number;
  readonly substrateDryG: number;
  /** Expected, as a fraction, and one standard deviation of a single run around it. */
  readonly efficiency: number;
  readonly efficiencyDeviation: number;
  readonly shares: readonly number[];
  readonly daysToFirstHarvest: number;
  readonly daysBetweenFlushes: number;
  /** One standard deviation of the first day; each later flush adds as much again. */
  readonly daysDeviation: number;
  /** Share of the bags expected to be lost before they bear. */
  readonly lossRate: number;
}

export interface WeekHarvest extends Interval {
  /** Day number of the Monday. */
  readonly mondayDay: number;
  readonly expectedG: number;
  /** Those that bear most of it first. */
  readonly runs: readonly string[];
}

/** A flush is picked over some days: one standard deviation. */
const PICKING_DEVIATION_DAYS = 2;
/** How early or late a flush may come, in standard deviations: the middles of fifteen equally likely spans. */
const SHIFTS = Array.from({ length: 15 }, (_, i) => normalQuantile((i + 0.5) / 15));

/**
 * Grams expected in each week, with an interval: every flush of every run spread over the days it may fall on, and its
 * amount uncertain as runs are. Runs vary independently; what all share (a bad month) is not in it.
 * @param firstMondayDay day number of the first week's Monday
 * @throws DomainError `harvest-out-of-range`
 */
export function harvestForecast(
  runs: readonly HarvestRun[],
  firstMondayDay: number,
  weeks: number,
  level: number = usualLevel,
): readonly WeekHarvest[] {
  runs.forEach(requireRun);
  const z = normalQuantile(1 - (1 - level) / 2);
  return Array.from({ length: weeks }, (_, week) => {
    const mondayDay = firstMondayDay + 7 * week;
    const parts = runs.map((run) => inWeek(run, mondayDay)).filter(({ expectedG }) => expectedG > 0.5);
    parts.sort((one, other) => other.expectedG - one.expectedG);
    const expectedG = parts.reduce((sum, part) => sum + part.expectedG, 0);
    const half = z * Math.sqrt(parts.reduce((sum, part) => sum + part.variance, 0));
    return {
      mondayDay,
      expectedG,
      low: Math.max(0, expectedG - half),
      high: expectedG + half,
      level,
      runs: parts.map(({ id }) => id),
    };
  });
}

function inWeek(run: HarvestRun, mondayDay: number): { id: string; expectedG: number; variance: number } {
  const bearingG = run.substrateDryG * (1 - run.lossRate);
  let [share, variance] = [0, 0];
  run.shares.forEach((flushShare, i) => {
    const day = run.spawnedOnDay + run.daysToFirstHarvest + i * run.daysBetweenFlushes;
    const when = run.daysDeviation * Math.sqrt(1 + i);
    const falls = SHIFTS.map((shift) => between(mondayDay, mondayDay + 7, day + when * shift, PICKING_DEVIATION_DAYS));
    const mean = falls.reduce((sum, value) => sum + value, 0) / falls.length;
    const scatter = falls.reduce((sum, value) => sum + (value - mean) ** 2, 0) / falls.length;
    share += flushShare * mean;
    variance += (bearingG * run.efficiency * flushShare) ** 2 * scatter;
  });
  return {
    id: run.id,
    expectedG: bearingG * run.efficiency * share,
    variance: variance + (bearingG * run.efficiencyDeviation * share) ** 2,
  };
}

const between = (from: number, to: number, mean: number, deviation: number): number =>
  normalCdf((to - mean) / deviation) - normalCdf((from - mean) / deviation);

function requireRun(run: HarvestRun): void {
  const shareSum = run.shares.reduce((sum, share) => sum + share, 0);
  requireThat(
    run.substrateDryG > 0 &&
      run.efficiency >= 0 &&
      run.efficiencyDeviation >= 0 &&
      run.lossRate >= 0 &&
      run.lossRate < 1 &&
      run.daysToFirstHarvest >= 0 &&
      run.daysBetweenFlushes >= 0 &&
      run.daysDeviation >= 0 &&
      Math.abs(shareSum - 1) < 1e-6,
    'harvest-out-of-range',
    `Run ${run.id} needs dry substrate, an efficiency, a loss below 1, days of 0 or more and flush shares that add up to 1.`,
  );
}
