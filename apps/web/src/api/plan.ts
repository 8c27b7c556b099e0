import {
  changesSinceSchema,
  newestReviewSchema,
  type PinnedStart,
  replannedSchema,
  type SuppositionJson,
  whatIfAnswerSchema,
  whatIfReadySchema,
} from '@jarfold/contracts';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { keepAnswer } from './kept-answers.js';
import { keys, refreshFarm } from './keys.js';
import { request } from './request.js';

const WHILE_BEING_MADE_MS = 1_000;
const planKey = [...keys.week, 'review'] as const;

/** The newest plan to agree on. Asked again while a plan is being made. */
export function useReview() {
  return useQuery({
    queryKey: planKey,
    queryFn: ({ signal }) => request('/api/plan/review', { answer: newestReviewSchema, signal }),
    refetchInterval: ({ state }) => (state.data?.review?.freshness === 'being-made' ? WHILE_BEING_MADE_MS : false),
  });
}

/** What is different from the plan of so many days before. */
export function useChanges(days: number) {
  return useQuery({
    queryKey: [...keys.week, 'changes', days],
    queryFn: ({ signal }) => request(`/api/plan/changes?days=${days}`, { answer: changesSinceSchema, signal }),
  });
}

export function useAcceptPlan() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (planId: string) =>
      request('/api/plan/accept', { method: 'POST', body: { planId }, answer: newestReviewSchema }),
    onSuccess: (answer) => keepAnswer(client, planKey, answer),
  });
}

/** Holds a start or lets it go; the answer is there when the plan was made anew. */
export function usePin() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (pin: PinnedStart) => request('/api/plan/pins', { method: 'PUT', body: pin, answer: replannedSchema }),
    onSuccess: () => refreshFarm(client),
  });
}

export function useSetAssurance() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (assurance: number) =>
      request('/api/plan/assurance', { method: 'PUT', body: { assurance }, answer: replannedSchema }),
    onSuccess: () => refreshFarm(client),
  });
}

/** Has the service get ready for a question while it is still being put; whether it could is told by the answer to that. */
export function useReadyForWhatIf() {
  return useMutation({ mutationFn: () => request('/api/plan/what-if', { answer: whatIfReadySchema }) });
}

/** Nothing is kept, so nothing becomes stale. */
export function useWhatIf() {
  return useMutation({
    mutationFn: (suppose: readonly SuppositionJson[]) =>
      request('/api/plan/what-if', { method: 'POST', body: { suppose }, answer: whatIfAnswerSchema }),
  });
}
