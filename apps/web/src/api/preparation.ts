import { grainStockSchema, type NewGrainStockEntry } from '@jarfold/contracts';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { keepAnswer } from './kept-answers.js';
import { keys } from './keys.js';
import { request } from './request.js';

// Under the week's name: what changes the plan or the log changes what is needed and what is left.
const GRAIN = [...keys.week, 'grain'];

/** Grain on hand beside what the plan needs of it. */
export function useGrainStock() {
  return useQuery({
    queryKey: GRAIN,
    queryFn: ({ signal }) => request('/api/preparation/grain', { answer: grainStockSchema, signal }),
  });
}

/** Says how much was counted or bought. */
export function useGrainEntry() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (body: NewGrainStockEntry) =>
      request('/api/preparation/grain', { method: 'POST', body, answer: grainStockSchema }),
    onSuccess: (stock) => keepAnswer(client, GRAIN, stock),
  });
}
