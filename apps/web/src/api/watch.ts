import { flagSchema, settledFlagsSchema, watchSchema } from '@jarfold/contracts';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { askAnew } from './kept-answers.js';
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

/** Marks a flag as seen, or takes the mark back. */
export function useSeeFlag() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: ({ id, seen }: { readonly id: string; readonly seen: boolean }) =>
      request(`/api/watch/${id}/seen`, { method: 'PUT', body: { seen }, answer: flagSchema }),
    // A flag that went meanwhile is answered with not-found: the list says the rest.
    onSettled: () => askAnew(client, keys.watch),
  });
}
