import {
  ageingRatesSchema,
  contaminationRatesSchema,
  growthRatesSchema,
  planningValuesSchema,
  yieldRatesSchema,
} from '@jarfold/contracts';
import { keepPreviousData, useQuery } from '@tanstack/react-query';
import { keys } from './keys.js';
import { type AnswerSchema, request } from './request.js';

/** Which part of the log a rate is asked of. */
export interface RatesScope {
  readonly days: number;
  readonly strainId: string | null;
}

export const useContaminationRates = (scope: RatesScope, period: 'week' | 'month') =>
  useRates('contamination', { ...query(scope), period }, contaminationRatesSchema);
export const useGrowthRates = (scope: RatesScope) => useRates('growth', query(scope), growthRatesSchema);
export const useAgeingRates = (scope: RatesScope) => useRates('ageing', query(scope), ageingRatesSchema);
export const useYieldRates = (scope: RatesScope) => useRates('yield', query(scope), yieldRatesSchema);

/** What plans are made with now, and where each value comes from. */
export const usePlanningValues = () => useRates('planning', {}, planningValuesSchema);

const query = ({ days, strainId }: RatesScope): Record<string, string> => ({
  days: String(days),
  ...(strainId === null ? {} : { strainId }),
});

function useRates<T>(area: string, asked: Record<string, string>, answer: AnswerSchema<T>) {
  const text = new URLSearchParams(asked).toString();
  return useQuery({
    queryKey: [...keys.rates, area, text],
    queryFn: ({ signal }) => request(`/api/rates/${area}${text ? `?${text}` : ''}`, { answer, signal }),
    placeholderData: keepPreviousData,
  });
}
