import type { ContaminationRates, FactorRatesJson } from '@jarfold/contracts';
import {
  type Attribution,
  causeSentence,
  type FactorLevel,
  type FactorRates,
  factorWords,
  type NotEnoughData,
  type RateFactor,
} from '@jarfold/domain';

/** What a level of a factor is called, in the farm's own words. */
export type LevelName = (factor: string, level: string) => string;

/** More levels than anyone reads; the count tells the rest. */
const MOST_RATES = 200;
const MOST_LEVELS = 100;

export function factorRatesJson(factor: RateFactor, { from, rates }: FactorRates, name: LevelName): FactorRatesJson {
  return {
    ...{ factor, from, count: rates.length },
    rates: rates.slice(0, MOST_RATES).map(({ key, ...rate }) => ({ ...rate, level: key, label: name(factor, key) })),
  };
}

/** Causes first, then the levels something can be said of, worst first. */
export function attributionJson(
  found: Attribution | NotEnoughData,
  name: LevelName,
): ContaminationRates['attribution'] {
  if (found.kind !== 'attribution') return found;
  const member = ({ factor, level }: FactorLevel) => ({ factor, level, label: name(factor, level) });
  const inWords = ({ factor, level }: FactorLevel) => `${factorWord(factor)} ${name(factor, level)}`;
  const told = found.levels.filter(({ verdict }) => verdict !== 'not enough data');
  return {
    ...found,
    causes: found.causes.map((cause) => ({
      ...cause,
      members: cause.members.map(member),
      sentence: causeSentence(cause, inWords),
    })),
    levels: [...told]
      .sort((one, other) => oddsOf(other) - oddsOf(one))
      .slice(0, MOST_LEVELS)
      .map((level) => ({ ...level, ...member(level) })),
    notEnoughData: found.levels.length - told.length,
  };
}

export const factorWord = (factor: string): string => factorWords[factor as RateFactor] ?? factor;

const oddsOf = ({ oddsRatio }: Attribution['levels'][number]): number =>
  oddsRatio.kind === 'estimate' ? oddsRatio.value : 0;
