import type { Strain } from '@jarfold/contracts';
import { percentText, readPercent } from '../../ui/percent.js';
import { readNumber } from '../../ui/read-number.js';

/** A strain as its boxes hold it. An empty value box means: the species' published value. */
export type StrainFormValues = ReturnType<typeof strainValues>;

export function strainValues(strain: Strain | null) {
  const own = (value: { readonly origin: string; readonly value: number } | undefined) =>
    value?.origin === 'farm' ? String(value.value) : '';
  return {
    speciesKey: strain?.speciesKey ?? '',
    name: strain?.name ?? '',
    code: strain?.code ?? '',
    inoculumGramsPerContainer: own(strain?.inoculumGramsPerContainer),
    daysToRipe: own(strain?.daysToRipe),
    lossRate: strain?.lossRate.origin === 'farm' ? percentText(strain.lossRate.value) : '',
    warmLifeDays: own(strain?.warmLifeDays),
    coldLifeDays: own(strain?.coldLifeDays),
    lastGeneration: own(strain?.lastGeneration),
    mayBeChilled: chilledChoice(strain),
    motherReserve: String(strain?.motherReserve ?? 1),
    cultureLeadDays: String(strain?.culture?.leadDays ?? ''),
    cultureContainers: String(strain?.culture?.containersPerUnit ?? ''),
    cultureCost: String(strain?.culture?.costPerUnit ?? ''),
    archived: strain?.archived ?? false,
  };
}

function chilledChoice(strain: Strain | null): '' | 'yes' | 'no' {
  if (strain?.mayBeChilled.origin !== 'farm') return '';
  return strain.mayBeChilled.value ? 'yes' : 'no';
}

/** What the boxes say, ready for the contract's check. Name and code left empty are the server's to suggest. */
export function strainBody(values: StrainFormValues): Record<string, unknown> {
  return {
    speciesKey: values.speciesKey,
    ...(values.name.trim() ? { name: values.name.trim() } : {}),
    ...(values.code.trim() ? { code: values.code.trim() } : {}),
    inoculumGramsPerContainer: readNumber(values.inoculumGramsPerContainer),
    daysToRipe: readNumber(values.daysToRipe),
    lossRate: readPercent(values.lossRate),
    warmLifeDays: readNumber(values.warmLifeDays),
    coldLifeDays: readNumber(values.coldLifeDays),
    lastGeneration: readNumber(values.lastGeneration),
    mayBeChilled: values.mayBeChilled === '' ? null : values.mayBeChilled === 'yes',
    motherReserve: readNumber(values.motherReserve) ?? 0,
    culture: cultureBody(values),
  };
}

/** No culture at all, or a whole one: a half-filled culture is told at its empty boxes. */
function cultureBody({ cultureLeadDays, cultureContainers, cultureCost }: StrainFormValues) {
  if ([cultureLeadDays, cultureContainers, cultureCost].every((text) => text.trim() === '')) return null;
  return {
    leadDays: readNumber(cultureLeadDays) ?? Number.NaN,
    containersPerUnit: readNumber(cultureContainers) ?? Number.NaN,
    costPerUnit: readNumber(cultureCost) ?? Number.NaN,
  };
}
