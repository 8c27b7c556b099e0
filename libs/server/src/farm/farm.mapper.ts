import type { ContainerSizeJson, Farm, Room, Shelf, Species, Strain } from '@jarfold/contracts';
import {
  containerValues,
  type FarmGrain,
  findSpecies,
  fromPublished,
  grainKinds,
  referenceRipeGrams,
  type SpeciesProfile,
  shelfPlacesOf,
  speciesCatalogue,
  speciesValues,
  strainValues,
} from '@jarfold/domain';
import type { RoomRow } from './rooms.repository.js';
import type { SizeRow } from './sizes.repository.js';
import type { StrainRow } from './strains.repository.js';

/** From stored rows to what the screens see: derived values filled in, each with where it comes from. */

export function strainJson(row: StrainRow, grain: FarmGrain): Strain {
  const { id, revision, code, name, speciesKey, motherReserve, culture, archived } = row;
  return {
    ...{ id, revision, code, name, speciesKey, motherReserve, culture, archived },
    speciesName: findSpecies(speciesKey).profile.latinName,
    ...strainValues(speciesKey, row, referenceRipeGrams(grain)),
  };
}

export function sizeJson(row: SizeRow, grain: FarmGrain): ContainerSizeJson {
  return { ...row, ...containerValues(row, grain) };
}

export function roomJson(row: RoomRow, shelves: readonly Shelf[]): Room {
  return { ...row, places: shelfPlacesOf(row.id, shelves) };
}

/** The species a farm can choose from, with the values a strain of each starts with. */
export function speciesListJson(grain: FarmGrain): Species[] {
  return speciesCatalogue.map((profile) => speciesJson(profile, referenceRipeGrams(grain)));
}

function speciesJson(profile: SpeciesProfile, ripeGrams: number): Species {
  return {
    key: profile.key,
    latinName: profile.latinName,
    commonName: profile.tradeNames[0] ?? profile.latinName,
    defaults: {
      ...speciesValues(profile.key, ripeGrams),
      spawnRate: fromPublished(profile.cropping.spawnRate),
      incubationTemperatureC: fromPublished(profile.spawn.incubationTemperatureC),
    },
  };
}

export function grainsJson(): Farm['grains'] {
  return grainKinds.map(({ key, name, bulkDensityGPerMl, moisture }) => ({
    key,
    name,
    bulkDensityKgPerL: bulkDensityGPerMl.value,
    moisture: moisture.value,
    source: fromPublished(bulkDensityGPerMl).source,
  }));
}
