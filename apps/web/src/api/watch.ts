import { settledFlagsSchema, watchSchema } from '@jarfold/contracts';
import { useQuery } from '@tanstack/react-query';
import { keys } from './keys.js';
import { request } from './request.js';

/** What the farm should look at now. */
export function useFlags() {
  return useQuery({
    queryKey: [...keys.watch, 'standing'],
    queryFn: ({ signal }) => request('/api/watch', { answer: watchSchema, signal }),
  });
}

/** Flags that went by themselves in so many days. */
export function useSettledFlags(days: number) {
  return useQuery({
    queryKey: [...keys.watch, 'settled', days],
    queryFn: ({ signal }) => request(`/api/watch/settled?days=${days}`, { answer: settledFlagsSchema, signal }),
  });
}
