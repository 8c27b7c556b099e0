import type { ContaminationRates, FactorRatesJson } from '@jarfold/contracts';
import { type MessageKey, t } from '../../messages/translate.js';

type Factor = FactorRatesJson['factor'];

export const FACTOR_WORDS = {
  strain: 'factor.strain',
  grainBatch: 'factor.grainBatch',
  cycle: 'factor.cycle',
  mother: 'factor.mother',
  operator: 'factor.operator',
  room: 'factor.room',
  method: 'factor.method',
} as const satisfies Record<Factor, MessageKey>;

/** A factor this page does not know yet (an older page, a newer server) by its own name. */
export function factorWords(factor: string): string {
  const key = (FACTOR_WORDS as Readonly<Record<string, MessageKey>>)[factor];
  return key ? t(key) : factor;
}

type Level = Extract<ContaminationRates['attribution'], { kind: 'attribution' }>['levels'][number];

export const VERDICT_WORDS = {
  explains: 'rates.verdict.explains',
  'cannot be told apart': 'rates.verdict.together',
  suspected: 'rates.verdict.suspected',
  'no sign': 'rates.verdict.noSign',
  'not enough data': 'rates.verdict.notEnough',
} as const satisfies Record<Level['verdict'], MessageKey>;
