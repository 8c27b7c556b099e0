import { cycleDetailSchema, cycleListSchema, type NewTrace } from '@jarfold/contracts';
import { useInfiniteQuery, useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { askAnew } from './kept-answers.js';
import { keys } from './keys.js';
import { request } from './request.js';

/** Steriliser cycles page by page, newest first. */
export function useCycles() {
  return useInfiniteQuery({
    queryKey: [...keys.sterilising, 'cycles'],
    queryFn: ({ pageParam, signal }) =>
      request(`/api/sterilising/cycles?limit=40${pageParam ? `&beforeId=${pageParam}` : ''}`, {
        answer: cycleListSchema,
        signal,
      }),
    initialPageParam: null as string | null,
    getNextPageParam: (page) => page.next,
  });
}

/** One cycle by the code on its label. */
export function useCycle(code: string) {
  return useQuery({
    queryKey: [...keys.sterilising, 'cycle', code.toUpperCase()],
    queryFn: ({ signal }) =>
      request(`/api/sterilising/cycle?code=${encodeURIComponent(code)}`, { answer: cycleDetailSchema, signal }),
  });
}

/** The verdict of a cycle, its flags and the rates of what came from it may all follow from a trace. */
export function useAttachTrace() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (body: NewTrace) =>
      request('/api/sterilising/traces', { method: 'POST', body, answer: cycleDetailSchema }),
    onSuccess: () => Promise.all([keys.sterilising, keys.watch].map((queryKey) => askAnew(client, queryKey))),
  });
}
