import { type NewRun, type RunPatch, type RunQuery, runChangedSchema, runListSchema } from '@jarfold/contracts';
import { keepPreviousData, useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { keys, refreshFarm } from './keys.js';
import { request } from './request.js';

export function useRuns(state: RunQuery['state']) {
  return useQuery({
    queryKey: [...keys.runs, state],
    queryFn: ({ signal }) => request(`/api/runs?state=${state}`, { answer: runListSchema, signal }),
    placeholderData: keepPreviousData,
  });
}

export type RunChange =
  | { readonly kind: 'add'; readonly run: NewRun }
  | { readonly kind: 'edit'; readonly id: string; readonly revision: number; readonly patch: RunPatch }
  | { readonly kind: 'cancel'; readonly id: string; readonly revision: number; readonly reason: string | null };

export function useChangeRun() {
  const client = useQueryClient();
  return useMutation({ mutationFn: send, onSuccess: () => refreshFarm(client) });
}

function send(change: RunChange) {
  switch (change.kind) {
    case 'add':
      return request('/api/runs', { method: 'POST', body: change.run, answer: runChangedSchema });
    case 'edit':
      return request(`/api/runs/${change.id}`, {
        method: 'PATCH',
        body: change.patch,
        revision: change.revision,
        answer: runChangedSchema,
      });
    case 'cancel':
      return request(`/api/runs/${change.id}/cancel`, {
        method: 'POST',
        body: change.reason === null ? {} : { reason: change.reason },
        revision: change.revision,
        answer: runChangedSchema,
      });
  }
}
