import { recallSchema } from '@jarfold/contracts';
import { useQuery } from '@tanstack/react-query';
import type { RecallOf } from '../features/recall/recall-href.js';
import { keys } from './keys.js';
import { request } from './request.js';

const query = (of: RecallOf): string => new URLSearchParams(of as Record<string, string>).toString();

/** Every relative of a jar or a lot. */
export function useRecall(of: RecallOf) {
  return useQuery({
    queryKey: [...keys.recall, query(of)],
    queryFn: ({ signal }) => request(`/api/recall?${query(of)}`, { answer: recallSchema, signal }),
  });
}

/** Where the recall can be had as a workbook. */
export const recallWorkbookUrl = (of: RecallOf): string => `/api/recall/workbook?${query(of)}`;
