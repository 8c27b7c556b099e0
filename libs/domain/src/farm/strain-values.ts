import {
  findSpecies,
  type Published,
  type SpeciesProfile,
  type StrainDefaults,
  sources,
  strainDefaults,
} from '../species/index.js';

/** What a farm has said about a strain; null: it goes by the species. */
export type StrainOverrides = { readonly [Key in keyof StrainDefaults]: StrainDefaults[Key] | null };

export type ValueOrigin = 'farm' | 'species' | 'derived' | 'starting-value';

/** A value with where it comes from: the farm's own word, or what is published about its species. */
export interface SourcedValue<T> {
  readonly value: T;
  readonly origin: ValueOrigin;
  /** The publication, in words; null for the farm's own word. */
  readonly source: string | null;
  readonly confidence: Published['confidence'] | null;
  readonly note: string | null;
}

export type StrainValues = { readonly [Key in keyof StrainDefaults]: SourcedValue<StrainDefaults[Key]> };

/**
 * The values a strain is planned with, each with where it comes from.
 * @param speciesKey key, Latin or trade name; an unknown species has careful customary values
 * @param referenceRipeGrams grams of ripe spawn in a container of the reference size, above 0
 */
export function strainValues(speciesKey: string, overrides: StrainOverrides, referenceRipeGrams: number): StrainValues {
  const defaults = speciesValues(speciesKey, referenceRipeGrams);
  const pick = <Key extends keyof StrainDefaults>(key: Key): SourcedValue<StrainDefaults[Key]> => {
    const own: StrainDefaults[Key] | null = overrides[key];
    return own === null ? (defaults[key] as SourcedValue<StrainDefaults[Key]>) : ownWord(own);
  };
  return {
    inoculumGramsPerContainer: pick('inoculumGramsPerContainer'),
    daysToRipe: pick('daysToRipe'),
    lossRate: pick('lossRate'),
    warmLifeDays: pick('warmLifeDays'),
    coldLifeDays: pick('coldLifeDays'),
    mayBeChilled: pick('mayBeChilled'),
    lastGeneration: pick('lastGeneration'),
  };
}

/** The values a strain of the species starts with, each with its source. */
export function speciesValues(speciesKey: string, referenceRipeGrams: number): StrainValues {
  const { profile } = findSpecies(speciesKey);
  const values = strainDefaults(speciesKey, referenceRipeGrams);
  const { spawn } = profile;
  return {
    inoculumGramsPerContainer: from(values.inoculumGramsPerContainer, spawn.inoculumShare),
    daysToRipe: from(values.daysToRipe, spawn.daysToRipe),
    lossRate: from(values.lossRate, spawn.lossRate),
    warmLifeDays: from(values.warmLifeDays, spawn.warmLifeDays),
    coldLifeDays: from(values.coldLifeDays, spawn.coldLifeDays ?? spawn.warmLifeDays),
    mayBeChilled: from(values.mayBeChilled, chillingSource(profile)),
    lastGeneration: from(values.lastGeneration, spawn.lastGeneration),
  };
}

/** A published number as a value of the species, with its source in words. */
export function fromPublished(published: Published): SourcedValue<number> {
  return from(published.value, published);
}

/** The farm's own word. */
export function ownWord<T>(value: T): SourcedValue<T> {
  return { value, origin: 'farm', source: null, confidence: null, note: null };
}

function chillingSource({ spawn }: SpeciesProfile): Published {
  return spawn.coldHarmBelowC ?? spawn.coldStoreTemperatureC;
}

function from<T>(value: T, published: Published): SourcedValue<T> {
  return {
    value,
    origin: 'species',
    source: sourceInWords(published),
    confidence: published.confidence,
    note: published.note,
  };
}

function sourceInWords({ source }: Published): string {
  const { by, year, title, where } = sources[source];
  return [by, year, title, where].filter((part) => part !== null && part !== '').join(', ');
}
