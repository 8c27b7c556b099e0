import { refusedListSchema, type Settle, settledListSchema, settledSchema, unsettledSchema } from '@jarfold/contracts';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { keys, refreshFarm } from './keys.js';
import { request } from './request.js';

/** Tablets send whenever they reach the server, so somebody who leaves the week open sees what comes in. */
const ASKED_AGAIN_MS = 30_000;

/** Entries the farm's rules refused and nobody has settled. */
export function useRefused() {
  return useQuery({
    queryKey: keys.conflicts,
    queryFn: ({ signal }) => request('/api/bench/refused', { answer: refusedListSchema, signal }),
    refetchInterval: ASKED_AGAIN_MS,
  });
}

/** Refused entries that were settled within the last seven days. */
export function useSettledLately() {
  return useQuery({
    queryKey: [...keys.conflicts, 'settled'],
    queryFn: ({ signal }) => request('/api/bench/refused/settled', { answer: settledListSchema, signal }),
  });
}

/** Settles a refused entry; whatever became of it, the list is asked again, because somebody else may have settled it. */
export function useSettle() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: ({ entryId, settle }: { readonly entryId: string; readonly settle: Settle }) =>
      request(`/api/bench/refused/${entryId}/settle`, { method: 'POST', body: settle, answer: settledSchema }),
    onSettled: () => refreshFarm(client),
  });
}

/** Takes a settlement back, with the entry it had recorded; the refused one stands in the list again. */
export function useUnsettle() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (entryId: string) =>
      request(`/api/bench/refused/${entryId}/unsettle`, { method: 'POST', answer: unsettledSchema }),
    onSettled: () => refreshFarm(client),
  });
}
