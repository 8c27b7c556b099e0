import { aheadSchema, type PromiseQuery, promiseSchema } from '@jarfold/contracts';
import { keepPreviousData, useQuery } from '@tanstack/react-query';
import { keys } from './keys.js';
import { request } from './request.js';

/** Expected harvest and spawn by week. A change of a run makes it stale, as it does the rates. */
export function useAhead(weeks: number) {
  return useQuery({
    queryKey: [...keys.rates, 'ahead', weeks],
    queryFn: ({ signal }) => request(`/api/ahead?weeks=${weeks}`, { answer: aheadSchema, signal }),
  });
}

/** What promised kilograms need; nothing is asked while there is no promise. */
export function usePromise(promise: Omit<PromiseQuery, 'keepsDays'> | null) {
  const asked = promise === null ? {} : Object.entries(promise).map(([name, value]) => [name, String(value)]);
  const text = new URLSearchParams(asked as string[][]).toString();
  return useQuery({
    queryKey: [...keys.rates, 'promise', text],
    queryFn: ({ signal }) => request(`/api/ahead/promise?${text}`, { answer: promiseSchema, signal }),
    enabled: promise !== null,
    placeholderData: keepPreviousData,
  });
}
