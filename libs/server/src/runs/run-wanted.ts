import type { NewBulkRun, RunPatch } from '@jarfold/contracts';
import {
  type CalendarDay,
  findSpecies,
  isoWeek,
  kilogramsToGrams,
  spawnForRun,
  usualMoistures,
  usualRunShares,
} from '@jarfold/domain';
import { merged, type StrainRow } from '../farm/index.js';
import type { BulkRunRow, OrderRow, RunRow } from './runs.repository.js';

/** What a person states about a bulk run; grams of spawn follow from it. */
export type RunStated = Pick<
  BulkRunRow,
  | 'kind'
  | 'name'
  | 'day'
  | 'strainIds'
  | 'substrateWetG'
  | 'substrateMoisture'
  | 'spawnRate'
  | 'basis'
  | 'minShare'
  | 'maxShare'
  | 'priority'
  | 'slackDays'
  | 'note'
>;

/** A new run with what was left out filled in: the spawn rate of its first strain's species, and the usual shares. */
export function statedRun(wanted: NewBulkRun, firstStrain: StrainRow): RunStated {
  const { id: _id, substrateWetKg, ...said } = wanted;
  const { cropping } = findSpecies(firstStrain.speciesKey).profile;
  const start: RunStated = {
    kind: 'bulk',
    name: usualName(firstStrain, wanted.day),
    day: wanted.day,
    strainIds: wanted.strainIds,
    substrateWetG: kilogramsToGrams(substrateWetKg),
    substrateMoisture: null,
    spawnRate: cropping.spawnRate.value,
    basis: 'wet/wet',
    ...usualRunShares,
    priority: 1,
    slackDays: 0,
    note: null,
  };
  return merged<RunStated>(start, said);
}

/** A run with some of what was stated replaced, and the grams that follow; the patch says nothing of the other kind. */
export function restated(run: RunRow, patch: RunPatch): RunRow {
  return run.kind === 'bulk' ? restatedBulk(run, patch) : merged<OrderRow>(run, patch);
}

function restatedBulk(run: BulkRunRow, { substrateWetKg, ...said }: RunPatch): BulkRunRow {
  const substrateWetG = substrateWetKg === undefined ? undefined : kilogramsToGrams(substrateWetKg);
  const stated = merged<BulkRunRow>(run, { ...said, substrateWetG });
  return { ...stated, ...demandOf(stated) };
}

/**
 * Grams of ripe spawn a run asks for.
 * @throws DomainError when rate, basis and moistures make no sense together
 */
export function demandOf(run: RunStated): Pick<RunRow, 'minGrams' | 'targetGrams' | 'maxGrams'> {
  const { substrateMoisture } = run;
  const moistures = substrateMoisture === null ? usualMoistures : { ...usualMoistures, substrateMoisture };
  const { minG, targetG, maxG } = spawnForRun({ ...run, moistures });
  return { minGrams: minG, targetGrams: targetG, maxGrams: maxG };
}

function usualName({ code }: StrainRow, day: CalendarDay): string {
  return `${code} week ${isoWeek(day).week}`;
}
