import type { PlanningValue, PlanningValues } from '@jarfold/contracts';
import { findSpecies, type PlanValue, type Published } from '@jarfold/domain';
import type { StrainRow } from '../farm/index.js';
import type { LearnedStrain } from './learned.js';
import { publishedStart } from './starting-value.js';

/** What plans of a strain are made with now: the farm's own word, what its log taught, or what is published. */
export function planningValuesOf(strain: StrainRow, learned: LearnedStrain): PlanningValues['items'][number] {
  const { spawn } = findSpecies(strain.speciesKey).profile;
  const chilled = strain.mayBeChilled ?? spawn.mayBeChilled;
  return {
    ...{ strainId: strain.id, strainCode: strain.code, strainName: strain.name },
    lossRate: planning(learned.lossRate, spawn.lossRate),
    daysToRipe: planning(learned.daysToRipe, spawn.daysToRipe),
    warmLifeDays: planning(stated(strain.warmLifeDays, spawn.warmLifeDays), spawn.warmLifeDays),
    coldLifeDays:
      chilled && spawn.coldLifeDays !== null && strain.coldLifeDays !== 0
        ? planning(stated(strain.coldLifeDays, spawn.coldLifeDays), spawn.coldLifeDays)
        : null,
  };
}

const planning = (value: PlanValue, published: Published): PlanningValue => ({
  ...value,
  published: publishedStart(published),
});

/** A value that is not learned from the log: the farm's own word, or what is published. */
function stated(ownWord: number | null, published: Published): PlanValue {
  const origin = ownWord === null ? 'species' : 'farm';
  return { value: ownWord ?? published.value, origin, n: 0, low: null, high: null };
}
