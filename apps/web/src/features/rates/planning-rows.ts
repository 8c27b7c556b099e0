import type { PlanningValue, PlanningValues } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { formatNumber, formatShare } from '../../ui/format/index.js';
import { withInterval } from './estimate-words.js';

type StrainValues = PlanningValues['items'][number];

/** One value of one strain that plans use, with how it is written. */
export interface PlanningRow {
  readonly key: string;
  readonly strain: StrainValues;
  readonly what: string;
  readonly value: PlanningValue;
  readonly format: (value: number) => string;
}

export const daysOf = (value: number): string => t('format.days', { days: Number(formatNumber(value)) });

export function planningRows(strain: StrainValues): readonly PlanningRow[] {
  const row = (what: string, value: PlanningValue, format: (value: number) => string): PlanningRow => ({
    ...{ key: `${strain.strainId} ${what}`, strain, what, value, format },
  });
  return [
    row(t('field.daysToRipe'), strain.daysToRipe, daysOf),
    row(t('field.loss'), strain.lossRate, formatShare),
    row(t('field.warmLife'), strain.warmLifeDays, daysOf),
    ...(strain.coldLifeDays === null ? [] : [row(t('field.coldLife'), strain.coldLifeDays, daysOf)]),
  ];
}

/** The value, with its interval where it was learned. */
export function planningWords({ value: { value, low, high }, format }: PlanningRow): string {
  return low === null || high === null ? format(value) : withInterval({ value, low, high }, format);
}
