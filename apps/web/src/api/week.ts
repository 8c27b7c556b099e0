import { newestPlanSchema, replannedSchema, weekSchema } from '@jarfold/contracts';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { keys, refreshFarm } from './keys.js';
import { request } from './request.js';

const WHILE_BEING_MADE_MS = 1_000;

/** One ISO week of the newest plan; null asks for the week of the farm's today. Asked again while a plan is being made. */
export function useWeek(week: string | null) {
  return useQuery({
    queryKey: [...keys.week, week ?? 'now'],
    queryFn: ({ signal }) =>
      request(week ? `/api/week?week=${encodeURIComponent(week)}` : '/api/week', { answer: weekSchema, signal }),
    refetchInterval: ({ state }) => (state.data?.freshness === 'being-made' ? WHILE_BEING_MADE_MS : false),
  });
}

/** The newest plan whole; null in it before the first. */
export function useNewestPlan() {
  return useQuery({
    queryKey: [...keys.week, 'plan'],
    queryFn: ({ signal }) => request('/api/plan', { answer: newestPlanSchema, signal }),
  });
}

export function useReplan() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: () => request('/api/plan', { method: 'POST', answer: replannedSchema }),
    onSuccess: () => refreshFarm(client),
  });
}
