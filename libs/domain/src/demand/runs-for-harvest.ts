import { requireThat } from '../errors.js';

/** Mushrooms promised for a day (as a day number). */
export interface PromisedHarvest {
  readonly id: string;
  readonly day: number;
  readonly freshG: number;
}

/** How a run bears on this farm. */
export interface BearingHabit {
  /** Fresh per dry substrate, as a fraction. A careful farm puts in the low end of its interval. */
  readonly efficiency: number;
  /** Share of the harvest by flush, adding up to 1. */
  readonly shares: readonly number[];
  readonly daysToFirstHarvest: number;
  readonly daysBetweenFlushes: number;
  /** Share of bags expected to be lost before they bear. */
  readonly lossRate: number;
  /** A flush serves promises from its day until this many days later. */
  readonly keepsDays: number;
}

export interface HarvestPlan {
  /** Runs to spawn, by day. */
  readonly runs: readonly {
    readonly day: number;
    readonly substrateDryG: number;
    readonly serves: readonly string[];
  }[];
  /** Promises that cannot be met: a run for them would have had to be spawned before today. */
  readonly tooLate: readonly { readonly id: string; readonly missingG: number; readonly spawnBy: number }[];
  /** Mushrooms expected beyond the promises. */
  readonly surplusG: number;
}

/** Less than this is a float's last digit. */
const NOTHING_G = 1e-6;

/**
 * From promised harvest back to bulk runs: each promise is first served from flushes of runs already planned for
 * earlier ones; what is missing asks for a run whose first flush comes on the promised day or a little before, on a day
 * on which the farm spawns. Losses of bags enlarge it.
 * @param maySpawn whether the farm spawns bulk on a day
 * @throws DomainError `harvest-out-of-range`
 */
export function runsForHarvest(
  promises: readonly PromisedHarvest[],
  habit: BearingHabit,
  today: number,
  maySpawn: (day: number) => boolean,
): HarvestPlan {
  requireHabit(habit);
  const runs: { day: number; substrateDryG: number; serves: string[] }[] = [];
  const flushes: { day: number; leftG: number; run: { serves: string[] } }[] = [];
  const tooLate: { id: string; missingG: number; spawnBy: number }[] = [];
  for (const { id, day, freshG } of [...promises].sort((one, other) => one.day - other.day)) {
    requireThat(freshG >= 0 && Number.isFinite(freshG), 'harvest-out-of-range', `Promise ${id} is for ${freshG} g.`);
    const missingG = takeFrom(flushes, id, day, freshG, habit.keepsDays);
    if (missingG <= NOTHING_G) continue;
    const spawnDay = latestSpawnDay(day - habit.daysToFirstHarvest, habit.keepsDays, today, maySpawn);
    if (spawnDay === null) {
      tooLate.push({ id, missingG, spawnBy: day - habit.daysToFirstHarvest });
      continue;
    }
    const bearingPerDryG = habit.efficiency * (1 - habit.lossRate);
    const run = { day: spawnDay, substrateDryG: missingG / (bearingPerDryG * habit.shares[0]!), serves: [id] };
    runs.push(run);
    habit.shares.forEach((share, flush) => {
      const leftG = flush === 0 ? 0 : run.substrateDryG * bearingPerDryG * share;
      flushes.push({ day: spawnDay + habit.daysToFirstHarvest + flush * habit.daysBetweenFlushes, leftG, run });
    });
  }
  return {
    runs: runs.sort((one, other) => one.day - other.day),
    tooLate,
    surplusG: flushes.reduce((sum, { leftG }) => sum + leftG, 0),
  };
}

/** Serves a promise from flushes that fall on its day or shortly before, oldest first; returns what is missing. */
function takeFrom(
  flushes: readonly { readonly day: number; leftG: number; readonly run: { serves: string[] } }[],
  id: string,
  day: number,
  wantedG: number,
  keepsDays: number,
): number {
  let missingG = wantedG;
  const fitting = flushes.filter(
    (flush) => flush.day <= day && flush.day >= day - keepsDays && flush.leftG > NOTHING_G,
  );
  for (const flush of [...fitting].sort((one, other) => one.day - other.day)) {
    const takenG = Math.min(missingG, flush.leftG);
    if (takenG <= NOTHING_G) break;
    flush.leftG -= takenG;
    missingG -= takenG;
    if (!flush.run.serves.includes(id)) flush.run.serves.push(id);
  }
  return missingG;
}

function latestSpawnDay(
  latest: number,
  keepsDays: number,
  today: number,
  maySpawn: (day: number) => boolean,
): number | null {
  for (let day = latest; day >= Math.max(today, latest - keepsDays); day--) if (maySpawn(day)) return day;
  return null;
}

function requireHabit({
  efficiency,
  shares,
  daysToFirstHarvest,
  daysBetweenFlushes,
  lossRate,
  keepsDays,
}: BearingHabit): void {
  const whole = [daysToFirstHarvest, daysBetweenFlushes, keepsDays].every(
    (days) => Number.isInteger(days) && days >= 0,
  );
  const sum = shares.reduce((total, share) => total + share, 0);
  requireThat(
    efficiency > 0 &&
      shares.length > 0 &&
      shares[0]! > 0 &&
      Math.abs(sum - 1) < 1e-6 &&
      lossRate >= 0 &&
      lossRate < 1 &&
      whole,
    'harvest-out-of-range',
    'A run bears with an efficiency above 0, flush shares that add up to 1, a loss below 1 and whole days.',
  );
}
