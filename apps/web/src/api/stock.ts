import {
  ageingSchema,
  drawnRoomsSchema,
  type JarQuery,
  jarDetailSchema,
  jarListSchema,
  stockOverviewSchema,
} from '@jarfold/contracts';
import { keepPreviousData, useInfiniteQuery, useQuery } from '@tanstack/react-query';
import { keys } from './keys.js';
import { request } from './request.js';

export function useStock() {
  return useQuery({
    queryKey: [...keys.stock, 'overview'],
    queryFn: ({ signal }) => request('/api/stock', { answer: stockOverviewSchema, signal }),
  });
}

export type JarFilter = Pick<JarQuery, 'strainId' | 'generation' | 'state' | 'code'>;

const JARS_PER_PAGE = 50;

/** Jars page by page, by code. */
export function useJars(filter: JarFilter) {
  return useInfiniteQuery({
    queryKey: [...keys.stock, 'jars', filter],
    queryFn: ({ pageParam, signal }) =>
      request(`/api/stock/jars?${jarQuery(filter, pageParam)}`, { answer: jarListSchema, signal }),
    initialPageParam: null as string | null,
    getNextPageParam: (page) => page.next,
    placeholderData: keepPreviousData,
  });
}

function jarQuery(filter: JarFilter, cursor: string | null): URLSearchParams {
  const query = new URLSearchParams({ limit: String(JARS_PER_PAGE) });
  for (const [name, value] of Object.entries(filter))
    if (value !== undefined && value !== '') query.set(name, String(value));
  if (cursor) query.set('cursor', cursor);
  return query;
}

export function useJar(jarId: string) {
  return useQuery({
    queryKey: [...keys.stock, 'jar', jarId],
    queryFn: ({ signal }) => request(`/api/stock/jars/${jarId}`, { answer: jarDetailSchema, signal }),
  });
}

export function useDrawnRooms() {
  return useQuery({
    queryKey: [...keys.stock, 'rooms'],
    queryFn: ({ signal }) => request('/api/stock/rooms', { answer: drawnRoomsSchema, signal }),
  });
}

/** Jars that are too old within so many days, and those that are already. */
export function useAgeing(days: number) {
  return useQuery({
    queryKey: [...keys.stock, 'ageing', days],
    queryFn: ({ signal }) => request(`/api/stock/ageing?days=${days}`, { answer: ageingSchema, signal }),
  });
}
