import { otherSpecies, speciesCatalogue } from './catalogue.js';
import type { SpeciesProfile } from './species-profile.js';

export type SpeciesFound =
  | { readonly kind: 'known'; readonly profile: SpeciesProfile }
  | { readonly kind: 'other'; readonly profile: SpeciesProfile };

const plain = (name: string): string =>
  name
    .trim()
    .toLowerCase()
    .replaceAll('’', "'")
    .replaceAll(/[\s_-]+/g, ' ');

const byName: ReadonlyMap<string, SpeciesProfile> = new Map(
  speciesCatalogue.flatMap((profile) =>
    [profile.key, profile.latinName, ...profile.tradeNames].map((name) => [plain(name), profile] as const),
  ),
);

/**
 * The starting values for a species named by key, Latin name or trade name, whatever its case and hyphens. A species
 * that is not in the catalogue answers `other` with careful customary values, so a grower of something rare can begin.
 * @example findSpecies('Lion’s mane').profile.latinName // 'Hericium erinaceus'
 */
export function findSpecies(name: string): SpeciesFound {
  const profile = byName.get(plain(name));
  return profile ? { kind: 'known', profile } : { kind: 'other', profile: otherSpecies };
}
