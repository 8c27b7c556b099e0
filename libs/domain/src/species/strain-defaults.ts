import { findSpecies } from './find-species.js';
import type { SpeciesProfile } from './species-profile.js';

/** The numbers a strain starts with until its farm says otherwise, named as the planner names them. */
export interface StrainDefaults {
  readonly inoculumGramsPerContainer: number;
  readonly daysToRipe: number;
  readonly lossRate: number;
  readonly warmLifeDays: number;
  /** Equal to the warm life for a species that is not chilled. */
  readonly coldLifeDays: number;
  readonly mayBeChilled: boolean;
  readonly lastGeneration: number;
}

/**
 * The starting numbers of a strain of a species.
 * @param species key, Latin or trade name; see {@link findSpecies}
 * @param ripeGrams grams of ripe spawn in one container of the reference size, above 0
 * @example strainDefaults('oyster', 600).inoculumGramsPerContainer // 60
 */
export function strainDefaults(species: string, ripeGrams: number): StrainDefaults {
  return defaultsOf(findSpecies(species).profile, ripeGrams);
}

function defaultsOf({ spawn }: SpeciesProfile, ripeGrams: number): StrainDefaults {
  return {
    inoculumGramsPerContainer: Math.round(spawn.inoculumShare.value * ripeGrams),
    daysToRipe: spawn.daysToRipe.value,
    lossRate: spawn.lossRate.value,
    warmLifeDays: spawn.warmLifeDays.value,
    coldLifeDays: (spawn.coldLifeDays ?? spawn.warmLifeDays).value,
    mayBeChilled: spawn.mayBeChilled,
    lastGeneration: spawn.lastGeneration.value,
  };
}
