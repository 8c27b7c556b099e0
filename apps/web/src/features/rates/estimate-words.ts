import type { ContaminationRates, PlanningValue, StartingValue } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { formatCount } from '../../ui/format/index.js';
import { sourceWords } from '../../ui/source-words.js';

export type EstimateOrNot = ContaminationRates['observed'];
export type Estimate = Extract<EstimateOrNot, { kind: 'estimate' }>;
type Format = (value: number) => string;

/** `9.8 % (7.1 to 13.2 %)`: a rate is never shown without its interval. */
export const withInterval = ({ value, low, high }: Pick<Estimate, 'value' | 'low' | 'high'>, format: Format): string =>
  t('rates.withInterval', { value: format(value), low: format(low), high: format(high) });

/** The interval, or why there is none. */
export function estimateWords(estimate: EstimateOrNot, format: Format): string {
  return estimate.kind === 'estimate'
    ? withInterval(estimate, format)
    : t('rates.notEnough', { reason: reasonOf(estimate) });
}

export const reasonOf = ({ n, needed, reason }: Extract<EstimateOrNot, { kind: 'not enough data' }>): string =>
  t('rates.notEnoughReason', { reason, n: formatCount(n), needed: formatCount(needed) });

/** What a rate starts from and who published it; the farm's own word where it gave one. */
export function startWords({ value, low, high, origin, source, confidence }: StartingValue, format: Format): string {
  if (origin === 'farm') return t('rates.start.farm', { value: format(value) });
  const words = { value: format(value), source: sourceWords({ source, confidence }) };
  const range = low === null || high === null ? '' : t('rates.start.range', { low: format(low), high: format(high) });
  const checked = confidence === 'memory' ? t('rates.start.unchecked') : '';
  return t('rates.start.published', { ...words, range, checked });
}

/** Where a value plans are made with comes from. */
export function originWords({ origin, n, published }: PlanningValue): string {
  switch (origin) {
    case 'learned':
      return t('rates.origin.learned', { count: n });
    case 'farm':
      return t('rates.origin.farm');
    default:
      return t('rates.origin.published', { source: sourceWords(published) });
  }
}
