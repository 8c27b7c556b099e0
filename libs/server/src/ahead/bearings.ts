import type { BearingJson } from '@jarfold/contracts';
import {
  type Bearing,
  bearingOf,
  type CalendarDay,
  dayNumber,
  findSpecies,
  type HarvestRun,
  harvestAhead,
  runOutcome,
  usualMoistures,
} from '@jarfold/domain';
import type { StrainRow } from '../farm/index.js';
import type { NamedBorneRun } from '../rates/index.js';
import type { BulkRunRow } from '../runs/index.js';

/** How each strain's runs bear, from the finished ones. */
export function bearingsOf(
  runs: readonly NamedBorneRun[],
  strains: readonly StrainRow[],
  asOf: CalendarDay,
): ReadonlyMap<string, Bearing> {
  return new Map(
    strains.map((strain) => {
      const { profile } = findSpecies(strain.speciesKey);
      const finished = runs
        .filter(({ strainId }) => strainId === strain.id)
        .map((run) => runOutcome(run, profile, asOf))
        .flatMap(({ finished: done, yield: borne }) => (done && borne !== null ? [borne] : []));
      return [strain.id, bearingOf(finished, profile)] as const;
    }),
  );
}

/** A run nobody picked from this long after its last flush was due is not waited for. */
const GIVEN_UP_DAYS = 14;

/** Runs that have harvest to come: spawned ones not yet through, and planned ones of strains they may take first. */
export function runsToBear(
  spawned: readonly NamedBorneRun[],
  planned: readonly BulkRunRow[],
  bearings: ReadonlyMap<string, Bearing>,
  asOf: CalendarDay,
): HarvestRun[] {
  const today = dayNumber(asOf);
  const waited = spawned.map((run) => ({
    strainId: run.strainId,
    ...{ id: run.name, spawnedOnDay: dayNumber(run.spawnedOn), substrateDryG: dryG(run) },
    picked: run.pickings.map(({ flush, day }) => ({ flush, firstDay: dayNumber(day) })),
  }));
  const wanted = planned.map((run) => ({
    strainId: run.strainIds[0]!,
    ...{ id: run.name, spawnedOnDay: dayNumber(run.day), substrateDryG: dryG(run), picked: [] },
  }));
  return [...waited, ...wanted].flatMap(({ strainId, picked, ...run }) => {
    const bearing = bearings.get(strainId);
    if (bearing === undefined || isGivenUp(run.spawnedOnDay, bearing, today)) return [];
    const ahead = harvestAhead({ ...run, picked: firstOfEachFlush(picked) }, bearing, today);
    return ahead === null ? [] : [ahead];
  });
}

function isGivenUp(spawnedOn: number, bearing: Bearing, today: number): boolean {
  const { daysToFirstHarvest, daysBetweenFlushes, shares } = bearing;
  return spawnedOn + daysToFirstHarvest + (shares.length - 1) * daysBetweenFlushes + GIVEN_UP_DAYS < today;
}

function firstOfEachFlush(picked: readonly { readonly flush: number; readonly firstDay: number }[]) {
  const days = new Map<number, number>();
  for (const { flush, firstDay } of picked) days.set(flush, Math.min(firstDay, days.get(flush) ?? firstDay));
  return [...days].map(([flush, firstDay]) => ({ flush, firstDay }));
}

const dryG = ({ substrateWetG, substrateMoisture }: Pick<BulkRunRow, 'substrateWetG' | 'substrateMoisture'>): number =>
  substrateWetG * (1 - (substrateMoisture ?? usualMoistures.substrateMoisture));

export function bearingJson({ id, code, name }: StrainRow, bearing: Bearing): BearingJson {
  const { efficiency, shares, daysToFirstHarvest, daysBetweenFlushes, runs } = bearing;
  return {
    ...{ strainId: id, strainCode: code, strainName: name, efficiency, shares },
    ...{ daysToFirstHarvest, daysBetweenFlushes, runs },
  };
}
