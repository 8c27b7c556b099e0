import {
  fileImportListSchema,
  fileImportSchema,
  type OldSheetsPreview,
  oldSheetsPreviewSchema,
  type TableMappingJson,
  takenBackSchema,
} from '@jarfold/contracts';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useEffect } from 'react';
import { isUnderWay } from './files-under-way.js';
import { askAnew, keepAnswer } from './kept-answers.js';
import { refreshFarm } from './keys.js';
import { request } from './request.js';
import { sendFile } from './workbooks.js';

const IMPORTS = ['imports'] as const;
const ASK_EVERY_MS = 1000;
const path = (id: string) => `/api/imports/old-sheets/${id}`;

export const markedSheetAddress = (id: string) => `${path(id)}/marked-copy`;

/** Old spreadsheets that were sent in, newest first. */
export function useOldSheetsList() {
  return useQuery({
    queryKey: [...IMPORTS],
    queryFn: ({ signal }) => request('/api/imports', { answer: fileImportListSchema, signal }),
    select: ({ items }) => items.filter(({ kind }) => kind === 'old-records'),
    refetchInterval: ({ state }) => (state.data?.items.some(isUnderWay) ? ASK_EVERY_MS : false),
  });
}

export function useSendOldSheet() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (file: File) => sendFile('/api/imports/old-sheets', file, oldSheetsPreviewSchema),
    onSuccess: (preview) => keep(client, preview),
  });
}

/** One file as it would be brought in now. */
export function useOldSheet(id: string) {
  return useQuery({
    queryKey: [...IMPORTS, id],
    queryFn: ({ signal }) => request(path(id), { answer: oldSheetsPreviewSchema, signal }),
    staleTime: Number.POSITIVE_INFINITY,
  });
}

/** Fetches the file and the farm anew once it has come in, or has not. */
export function useWhenSettled(id: string, state: string | undefined): void {
  const client = useQueryClient();
  useEffect(() => {
    if (state === undefined || isUnderWay({ state })) return;
    void askAnew(client, [...IMPORTS, id]);
    if (state === 'applied') void refreshFarm(client);
  }, [client, id, state]);
}

export function useUnderstandOldSheet(id: string) {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (tables: Readonly<Record<string, TableMappingJson>>) =>
      request(`${path(id)}/mapping`, { method: 'PUT', body: { tables }, answer: oldSheetsPreviewSchema }),
    onSuccess: (preview) => keep(client, preview),
  });
}

export function useBringIn(id: string) {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (body: { readonly seen: string; readonly withoutRefused: boolean }) =>
      request(`${path(id)}/bring-in`, { method: 'POST', body, answer: fileImportSchema }),
    onSettled: () => askAnew(client, IMPORTS),
  });
}

export function useTakeBack(id: string) {
  const client = useQueryClient();
  return useMutation({
    mutationFn: () => request(`${path(id)}/take-back`, { method: 'POST', answer: takenBackSchema }),
    onSuccess: async () => {
      await askAnew(client, IMPORTS);
      await refreshFarm(client);
    },
  });
}

async function keep(client: ReturnType<typeof useQueryClient>, preview: OldSheetsPreview): Promise<void> {
  await keepAnswer(client, [...IMPORTS, preview.import.id], preview);
  void askAnew(client, IMPORTS, true);
}
