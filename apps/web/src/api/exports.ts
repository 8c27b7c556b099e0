import {
  calendarFeedListSchema,
  calendarFeedSchema,
  type FileUnitsPatch,
  fileUnitsSchema,
  madeCalendarFeedSchema,
  type NewCalendarFeed,
} from '@jarfold/contracts';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { askAnew } from './kept-answers.js';
import { request, requireFile } from './request.js';

const FEEDS = ['calendar-feeds'] as const;
const UNITS = ['file-units'] as const;

/** Which lots are told of; what is empty is left out. */
export interface LotsAsked {
  readonly code: string;
  readonly from: string;
  readonly to: string;
}

/** Saves lot records as a file, or says why there are none. */
export function useDownloadLots() {
  return useMutation({
    mutationFn: async ({ form, asked }: { readonly form: 'lots' | 'epcis'; readonly asked: LotsAsked }) => {
      const { code, from, to } = asked;
      const query = code !== '' ? { code } : { ...(from && { from }), ...(to && { to }) };
      const address = `/api/traceability/${form}?${new URLSearchParams(query)}`;
      await requireFile(address);
      window.location.assign(address);
    },
  });
}

export function useCalendarFeeds() {
  return useQuery({
    queryKey: FEEDS,
    queryFn: ({ signal }) => request('/api/calendar-feeds', { answer: calendarFeedListSchema, signal }),
  });
}

export function useMakeFeed() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (body: NewCalendarFeed) =>
      request('/api/calendar-feeds', { method: 'POST', body, answer: madeCalendarFeedSchema }),
    onSuccess: () => askAnew(client, FEEDS),
  });
}

export function useRevokeFeed() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (id: string) =>
      request(`/api/calendar-feeds/${id}/revoke`, { method: 'POST', answer: calendarFeedSchema }),
    onSettled: () => askAnew(client, FEEDS),
  });
}

export function useFileUnits() {
  return useQuery({
    queryKey: UNITS,
    queryFn: ({ signal }) => request('/api/workbooks/units', { answer: fileUnitsSchema, signal }),
  });
}

export function useSaveFileUnits() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: ({ revision, patch }: { readonly revision: number; readonly patch: FileUnitsPatch }) =>
      request('/api/workbooks/units', { method: 'PATCH', revision, body: patch, answer: fileUnitsSchema }),
    onSettled: () => askAnew(client, UNITS),
  });
}
