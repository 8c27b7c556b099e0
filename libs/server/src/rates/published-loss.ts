import { findSpecies, type PublishedRate, type SpeciesProfile } from '@jarfold/domain';
import type { StrainRow } from '../farm/index.js';

/** A farm without a strain starts from what holds for any species. */
export const profileOf = (strain: StrainRow | undefined): SpeciesProfile =>
  findSpecies(strain?.speciesKey ?? '').profile;

/** The published loss of a strain's species; of the farm's first strain for levels that are no strains. */
export function publishedLoss(strains: readonly StrainRow[]): (level: string) => PublishedRate {
  const byId = new Map(strains.map((strain) => [strain.id, strain]));
  return (level) => {
    const { lossRate, lossPriorJars } = profileOf(byId.get(level) ?? strains[0]).spawn;
    return { mean: lossRate.value, jars: lossPriorJars };
  };
}
