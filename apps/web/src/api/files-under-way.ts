import {
  type FileExport,
  type FileImport,
  farmFilePreviewSchema,
  fileExportListSchema,
  fileExportSchema,
  fileImportListSchema,
  fileImportSchema,
} from '@jarfold/contracts';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { askAnew } from './kept-answers.js';
import { request } from './request.js';
import { sendFile } from './workbooks.js';

/** Files the worker is at: asked for or sent in, told how far, stopped. */

const EXPORTS = ['exports'] as const;
const IMPORTS = ['imports'] as const;
const ASK_EVERY_MS = 1000;

export const isUnderWay = ({ state }: { readonly state: string }) => state === 'waiting' || state === 'running';

/** Files that were asked for, newest first; asked anew while one of them is under way. */
export function useExports(enabled: boolean) {
  return useQuery({
    queryKey: EXPORTS,
    queryFn: ({ signal }) => request('/api/exports', { answer: fileExportListSchema, signal }),
    refetchInterval: ({ state }) => (state.data?.items.some(isUnderWay) ? ASK_EVERY_MS : false),
    select: ({ items }): readonly FileExport[] => items,
    enabled,
  });
}

export const farmFileAddress = (id: string) => `/api/exports/${id}/file`;

export function useAskFarmFile() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (form: FileExport['form']) =>
      request('/api/exports/farm', { method: 'POST', body: { form }, answer: fileExportSchema }),
    onSettled: () => askAnew(client, EXPORTS),
  });
}

export function useAskWeekly() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: () => request('/api/workbooks', { method: 'POST', answer: fileExportSchema }),
    onSettled: () => askAnew(client, EXPORTS),
  });
}

export function useStopExport() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (id: string) => request(`/api/exports/${id}/cancel`, { method: 'POST', answer: fileExportSchema }),
    onSettled: () => askAnew(client, EXPORTS),
  });
}

/** A file that was sent in as it is this moment. */
export function useImportNow(id: string | undefined) {
  return useQuery({
    queryKey: IMPORTS,
    queryFn: ({ signal }) => request('/api/imports', { answer: fileImportListSchema, signal }),
    refetchInterval: ({ state }) => (state.data?.items.some(isUnderWay) ? ASK_EVERY_MS : false),
    select: ({ items }): FileImport | undefined => items.find((item) => item.id === id),
    enabled: id !== undefined,
  });
}

export function useStopImport() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (id: string) => request(`/api/imports/${id}/cancel`, { method: 'POST', answer: fileImportSchema }),
    onSettled: () => askAnew(client, IMPORTS),
  });
}

/** Sends a farm's file, packed on the way: it is long and says much the same over and over. */
export function useSendFarm() {
  return useMutation({
    mutationFn: async (file: File) => sendFile('/api/imports/farm', await packed(file), farmFilePreviewSchema),
  });
}

async function packed(file: File): Promise<File> {
  if (file.name.endsWith('.gz')) return file;
  const stream = file.stream().pipeThrough(new CompressionStream('gzip'));
  return new File([await new Response(stream).blob()], file.name);
}

export function useBringFarmIn() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (id: string) =>
      request(`/api/imports/farm/${id}/bring-in`, { method: 'POST', answer: fileImportSchema }),
    onSettled: () => askAnew(client, IMPORTS),
  });
}
