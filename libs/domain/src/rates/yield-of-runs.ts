import { addDays, type CalendarDay, dayNumber } from '../calendar/calendar-day.js';
import { usualMoistures } from '../demand/index.js';
import type { SpeciesProfile } from '../species/species-profile.js';
import type { Estimate, NotEnoughData } from '../statistics/estimate.js';
import { efficiencyByGroup, type GroupEfficiency, studentMean } from '../yield/efficiency-by-group.js';
import { flushShares } from '../yield/flush-shares.js';
import { type RunYield, runYield } from '../yield/run-yield.js';
import { type RateEffect, spawnRateEffect } from '../yield/spawn-rate-effect.js';

/** A run that was made, with every weighing of what it bore. */
export interface BorneRun {
  readonly runId: string;
  readonly strainId: string;
  readonly spawnedOn: CalendarDay;
  readonly substrateWetG: number;
  /** Share of water; null: the usual one. */
  readonly substrateMoisture: number | null;
  readonly spawnG: number;
  readonly pickings: readonly { readonly day: CalendarDay; readonly flush: number; readonly massG: number }[];
}

export interface RunOutcome {
  readonly runId: string;
  readonly strainId: string;
  readonly spawnedOn: CalendarDay;
  /** Null: a weighing lies before spawning, so that the run tells nothing. */
  readonly yield: RunYield | null;
  readonly moistureAssumed: boolean;
  /** No more harvest is expected; only these runs enter rates. */
  readonly finished: boolean;
}

/** A run still waited for has this many days of grace after its last usual flush. */
const GRACE_DAYS = 10;

/** What each run bore, and whether it has borne all it will. */
export function runOutcome(run: BorneRun, { cropping }: SpeciesProfile, asOf: CalendarDay): RunOutcome {
  const { runId, strainId, spawnedOn } = run;
  const moisture = run.substrateMoisture ?? usualMoistures.substrateMoisture;
  const sound = run.pickings.every(({ day }) => day >= spawnedOn);
  const pickings = run.pickings.map(({ day, flush, massG }) => ({
    ...{ day: dayNumber(day), flush, freshG: massG, saleableG: null },
  }));
  const usualEnd =
    cropping.spawnRunDays.value +
    cropping.pinningDays.value +
    cropping.fruitingDays.value +
    (cropping.flushes.value - 1) * cropping.daysBetweenFlushes.value;
  return {
    ...{ runId, strainId, spawnedOn },
    yield: sound ? runYield(pickings, run.substrateWetG * (1 - moisture), dayNumber(spawnedOn)) : null,
    moistureAssumed: run.substrateMoisture === null,
    finished: sound && run.pickings.length > 0 && addDays(spawnedOn, Math.ceil(usualEnd) + GRACE_DAYS) <= asOf,
  };
}

export interface StrainYield {
  readonly efficiency: GroupEfficiency | null;
  /** Of each flush alone, over all finished runs: a run without it counts with nothing. */
  readonly byFlush: readonly {
    readonly flush: number;
    readonly efficiency: Estimate | NotEnoughData;
    readonly share: number;
    readonly freshG: number;
  }[];
  readonly daysToFirstHarvest: Estimate | NotEnoughData;
  readonly daysBetweenFlushes: Estimate | NotEnoughData;
  readonly spawnRateEffect: RateEffect | NotEnoughData;
  readonly freshG: number;
  readonly substrateDryG: number;
  readonly finishedRuns: number;
}

/** A strain's finished runs together, drawn toward its species' published efficiency while they are few. */
export function yieldOfStrain(
  outcomes: readonly RunOutcome[],
  runs: ReadonlyMap<string, BorneRun>,
  { cropping }: SpeciesProfile,
): StrainYield {
  const finished = outcomes.flatMap((outcome) =>
    outcome.finished && outcome.yield !== null ? [{ runId: outcome.runId, ...outcome.yield }] : [],
  );
  const efficiencies = finished.map(({ efficiency }) => ({ group: 'all', efficiency })).filter(isPossible);
  const flushes = Math.max(0, ...finished.flatMap((run) => run.flushes.map(({ flush }) => flush)));
  const gramsOf = (run: RunYield, flush: number) => run.flushes.find((each) => each.flush === flush)?.freshG ?? 0;
  const grams = finished.map((run) => Array.from({ length: flushes }, (_, i) => gramsOf(run, i + 1)));
  const shares = flushes === 0 ? [] : flushShares(grams, Math.min(12, flushes));
  return {
    efficiency: efficiencyByGroup(efficiencies, cropping.biologicalEfficiency.value)[0] ?? null,
    byFlush: shares.map((share, i) => ({
      flush: i + 1,
      share,
      efficiency: studentMean(finished.map((run) => gramsOf(run, i + 1) / run.substrateDryG)),
      freshG: total(grams.map((flush) => flush[i] ?? 0)),
    })),
    daysToFirstHarvest: studentMean(finished.flatMap(({ daysToFirstHarvest: days }) => (days === null ? [] : [days]))),
    daysBetweenFlushes: studentMean(finished.flatMap(({ daysBetweenFlushes }) => daysBetweenFlushes)),
    spawnRateEffect: spawnRateEffect(
      finished.flatMap(({ runId, efficiency }) => {
        const { spawnG, substrateWetG } = runs.get(runId)!;
        return spawnG > 0 && spawnG <= substrateWetG
          ? [{ spawnRate: spawnG / substrateWetG, outcome: efficiency }]
          : [];
      }),
    ),
    freshG: total(finished.map(({ freshG }) => freshG)),
    substrateDryG: total(finished.map(({ substrateDryG }) => substrateDryG)),
    finishedRuns: finished.length,
  };
}

/** Ten times the dry mass is a slip of the scale or the keyboard: its grams stay visible, its ratio is left out. */
const isPossible = ({ efficiency }: { readonly efficiency: number }): boolean => efficiency < 10;

const total = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0);
