import { type StrainProfile, strainDefaults } from '@jarfold/domain';
import type { StrainValuesRow } from './farm-workbook.js';

const JARS_PER_CULTURE = 10;
const COST_PER_CULTURE = 25;

/**
 * A strain with its species' values for what was left blank.
 * @param referenceRipeGrams ripe grams of the first size: a tenth of it is the usual inoculum
 */
export function strainOf(values: StrainValuesRow, referenceRipeGrams: number): StrainProfile {
  const species = values.species ?? '';
  const usual = strainDefaults(species, referenceRipeGrams);
  const { cultureLifeDays } = values;
  return {
    id: values.strain ?? '',
    species,
    inoculumGramsPerContainer: values.inoculumGrams ?? usual.inoculumGramsPerContainer,
    daysToRipe: values.daysToRipe ?? usual.daysToRipe,
    lossRate: values.lossRate ?? usual.lossRate,
    warmLifeDays: values.warmLifeDays ?? usual.warmLifeDays,
    coldLifeDays: values.coldLifeDays ?? usual.coldLifeDays,
    mayBeChilled: values.mayBeChilled ?? usual.mayBeChilled,
    lastGeneration: values.lastGeneration ?? usual.lastGeneration,
    motherReserve: values.motherReserve ?? 0,
    culture: cultureOf(values),
    ...(cultureLifeDays === null ? {} : { cultureLifeDays }),
  };
}

function cultureOf(values: StrainValuesRow): StrainProfile['culture'] {
  const { cultureLeadDays, culturesAvailable } = values;
  if (cultureLeadDays === null) return null;
  return {
    leadDays: cultureLeadDays,
    containersPerUnit: values.containersPerCulture ?? JARS_PER_CULTURE,
    costPerUnit: values.costPerCulture ?? COST_PER_CULTURE,
    ...(culturesAvailable === null ? {} : { unitsAvailable: culturesAvailable }),
  };
}
