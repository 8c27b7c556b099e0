import {
  type BulkRun,
  findSpecies,
  kilogramsToGrams,
  percentToFraction,
  spawnForRun,
  usualMoistures,
} from '@jarfold/domain';
import type { RunValuesRow } from './farm-workbook.js';

const MIN_SHARE = percentToFraction(80);
const MAX_SHARE = percentToFraction(120);

/** A run whose required cells are filled and whose strains are known. */
export interface NamedRun {
  readonly values: RunValuesRow;
  readonly day: BulkRun['day'];
  readonly strainIds: readonly string[];
  /** Of the first strain: its usual spawn rate is taken when the run gives none. */
  readonly species: string;
  readonly spawnMoisture: number | null;
}

/** A bulk run in grams of ripe spawn, whatever basis its spawn rate is on. */
export function runOf({ values, day, strainIds, species, spawnMoisture }: NamedRun): BulkRun {
  const spawn = spawnForRun({
    substrateWetG: kilogramsToGrams(values.substrateWetKg ?? 0),
    spawnRate: values.spawnRate ?? findSpecies(species).profile.cropping.spawnRate.value,
    basis: values.basis ?? 'wet/wet',
    minShare: values.minShare ?? MIN_SHARE,
    maxShare: values.maxShare ?? MAX_SHARE,
    moistures: {
      substrateMoisture: values.substrateMoisture ?? usualMoistures.substrateMoisture,
      spawnMoisture: spawnMoisture ?? usualMoistures.spawnMoisture,
    },
  });
  return {
    id: values.run ?? '',
    day,
    strainIds,
    minGrams: spawn.minG,
    targetGrams: spawn.targetG,
    maxGrams: spawn.maxG,
    priority: values.priority ?? 1,
    slackDays: values.slackDays ?? 0,
  };
}
