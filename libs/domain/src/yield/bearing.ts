import type { SpeciesProfile } from '../species/species-profile.js';
import { normalQuantile } from '../statistics/distributions.js';
import { type Interval, usualLevel } from '../statistics/estimate.js';
import { efficiencyByGroup, GROUP_DEVIATION, runVariance } from './efficiency-by-group.js';
import { flushShares } from './flush-shares.js';
import type { HarvestRun } from './harvest-forecast.js';
import type { RunYield } from './run-yield.js';

/** How a strain's runs bear on this farm: its finished runs drawn toward what is published while they are few. */
export interface Bearing {
  /** Fresh per dry substrate, as a fraction: the mean of runs, with its interval. Bags that were lost are in it. */
  readonly efficiency: Interval & { readonly value: number };
  /** One standard deviation of a single run around that mean. */
  readonly efficiencyDeviation: number;
  /** Share of the harvest by flush, adding up to 1. */
  readonly shares: readonly number[];
  readonly daysToFirstHarvest: number;
  readonly daysBetweenFlushes: number;
  /** One standard deviation of the first day. */
  readonly daysDeviation: number;
  /** Finished runs it rests on; 0: published values alone. */
  readonly runs: number;
}

/** Published days are worth this many runs, as the usual flush shares are. */
const PRIOR_RUNS = 3;
/** First days of one strain's runs differ by about this much; common practice, no source. */
const DAYS_DEVIATION = 4;
/** An efficiency is never taken for less than this: nothing would divide by it. */
const LEAST_EFFICIENCY = 0.02;

/** @param finished runs of the strain that have borne all they will */
export function bearingOf(
  finished: readonly RunYield[],
  { cropping }: Pick<SpeciesProfile, 'cropping'>,
  level: number = usualLevel,
): Bearing {
  const efficiencies = finished.map(({ efficiency }) => efficiency).filter((efficiency) => efficiency < 10);
  const firstDays = finished.flatMap(({ daysToFirstHarvest: days }) => (days === null ? [] : [days]));
  const between = finished.flatMap(({ daysBetweenFlushes }) => daysBetweenFlushes);
  const publishedFirst = cropping.spawnRunDays.value + cropping.pinningDays.value + cropping.fruitingDays.value;
  const daysToFirstHarvest = drawnToward(publishedFirst, firstDays);
  const squares = firstDays.reduce((sum, days) => sum + (days - daysToFirstHarvest) ** 2, 0);
  const flushes = Math.max(cropping.flushes.value, ...finished.flatMap((run) => run.flushes.map(({ flush }) => flush)));
  const grams = finished.map((run) =>
    Array.from({ length: flushes }, (_, i) => run.flushes.find(({ flush }) => flush === i + 1)?.freshG ?? 0),
  );
  return {
    efficiency: efficiencyOf(efficiencies, cropping.biologicalEfficiency.value, level),
    efficiencyDeviation: Math.sqrt(runVariance([efficiencies])),
    shares: flushShares(grams, Math.min(12, Math.round(flushes))),
    daysToFirstHarvest,
    daysBetweenFlushes: drawnToward(cropping.daysBetweenFlushes.value, between),
    daysDeviation: Math.sqrt((squares + PRIOR_RUNS * DAYS_DEVIATION ** 2) / (firstDays.length + PRIOR_RUNS)),
    runs: finished.length,
  };
}

function efficiencyOf(efficiencies: readonly number[], published: number, level: number): Bearing['efficiency'] {
  const [own] = efficiencyByGroup(
    efficiencies.map((efficiency) => ({ group: 'all', efficiency })),
    published,
    level,
  );
  const half = normalQuantile(1 - (1 - level) / 2) * GROUP_DEVIATION;
  const { value, low, high } = own?.shrunk ?? { value: published, low: published - half, high: published + half };
  const atLeast = (share: number) => Math.max(LEAST_EFFICIENCY, share);
  return { value: atLeast(value), low: atLeast(low), high: atLeast(high), level };
}

const drawnToward = (published: number, seen: readonly number[]): number =>
  (seen.reduce((sum, days) => sum + days, 0) + PRIOR_RUNS * published) / (seen.length + PRIOR_RUNS);

/** A run planned or spawned, with what was picked from it so far. */
export interface WaitedForRun {
  readonly id: string;
  readonly spawnedOnDay: number;
  readonly substrateDryG: number;
  /** First picking of each flush so far. */
  readonly picked: readonly { readonly flush: number; readonly firstDay: number }[];
}

/**
 * What a run has still to bear, for {@link harvestForecast}: flushes already picked are left out, the next one is
 * counted from the last, and one that is late is expected from today on.
 * @returns null when every usual flush was picked
 */
export function harvestAhead(run: WaitedForRun, bearing: Bearing, today: number): HarvestRun | null {
  const last = [...run.picked].sort((one, other) => other.flush - one.flush)[0];
  const left = bearing.shares.slice(last?.flush ?? 0);
  const share = left.reduce((sum, each) => sum + each, 0);
  if (share <= 0) return null;
  const next =
    last === undefined ? run.spawnedOnDay + bearing.daysToFirstHarvest : last.firstDay + bearing.daysBetweenFlushes;
  return {
    id: run.id,
    spawnedOnDay: run.spawnedOnDay,
    substrateDryG: run.substrateDryG * share,
    efficiency: bearing.efficiency.value,
    efficiencyDeviation: bearing.efficiencyDeviation,
    shares: left.map((each) => each / share),
    daysToFirstHarvest: Math.max(next, today) - run.spawnedOnDay,
    daysBetweenFlushes: bearing.daysBetweenFlushes,
    daysDeviation: bearing.daysDeviation,
    lossRate: 0,
  };
}
