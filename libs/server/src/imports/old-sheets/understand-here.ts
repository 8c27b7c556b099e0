import {
  type FarmFacts,
  type FoundTable,
  guessMapping,
  type SheetMapping,
  speciesValues,
  type UnderstoodFile,
  understandFile,
  withoutLostMeanings,
  withPlainWords,
} from '@jarfold/domain';

/** A file, how it is said to be meant, and what reading it needs to know of the farm: nothing but plain values. */
export interface UnderstandingQuestion {
  readonly tables: readonly FoundTable[];
  readonly said: SheetMapping;
  readonly facts: Omit<FarmFacts, 'daysToRipeOf'>;
  /** Ripe grams of the farm's usual jar, from which a species' usual days follow. */
  readonly ripeGrams: number;
}

export interface Understanding {
  readonly mapping: SheetMapping;
  readonly understood: UnderstoodFile;
}

/** Reads every cell of a file by a mapping: the longest part of a dry run, and nothing but arithmetic. */
export function understandHere({ tables, said, facts, ripeGrams }: UnderstandingQuestion): Understanding {
  const farm = {
    ...facts,
    daysToRipeOf: (speciesKey: string) => speciesValues(speciesKey, ripeGrams).daysToRipe.value,
  };
  const mapping = fittingMapping(tables, said, farm);
  return { mapping, understood: understandFile(tables, mapping, farm) };
}

/** The mapping as it can stand: for the tables of the file, with the farm's own things, plain words filled in. */
function fittingMapping(tables: readonly FoundTable[], said: SheetMapping, farm: FarmFacts): SheetMapping {
  const guess = guessMapping(tables);
  const own = tables.map(({ key }) => [key, withoutLostMeanings(said[key] ?? guess[key]!, farm)] as const);
  return withPlainWords(tables, Object.fromEntries(own), farm);
}
