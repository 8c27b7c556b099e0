import {
  type ApplyReturnedBook,
  fileImportSchema,
  problemSchema,
  type ReturnedBookPreview,
  returnedBookPreviewSchema,
  workbookFileListSchema,
} from '@jarfold/contracts';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { RequestFailure } from './failure.js';
import { askAnew } from './kept-answers.js';
import { type AnswerSchema, request } from './request.js';

export const WORKBOOKS = ['workbooks'] as const;

export function useWorkbooks() {
  return useQuery({
    queryKey: WORKBOOKS,
    queryFn: ({ signal }) => request('/api/workbooks', { answer: workbookFileListSchema, signal }),
  });
}

export const workbookAddress = (id: string) => `/api/workbooks/${id}/file`;
export const markedCopyAddress = (id: string) => `/api/imports/${id}/marked-copy`;

export function useSendWorkbook() {
  return useMutation({
    mutationFn: (file: File) => sendFile('/api/imports/workbook', file, returnedBookPreviewSchema),
  });
}

export function useApplyWorkbook() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: ({ preview, body }: { readonly preview: ReturnedBookPreview; readonly body: ApplyReturnedBook }) =>
      request(`/api/imports/workbook/${preview.import.id}/apply`, {
        method: 'POST',
        body,
        answer: fileImportSchema,
      }),
    onSettled: () => askAnew(client, ['imports']),
  });
}

/**
 * Sends a file as it is.
 * @throws RequestFailure always that, whatever went wrong.
 */
export async function sendFile<T>(path: string, file: File, answer: AnswerSchema<T>): Promise<T> {
  const where = `POST ${path}`;
  let response: Response;
  try {
    response = await fetch(`${path}?name=${encodeURIComponent(file.name.slice(0, 200))}`, {
      method: 'POST',
      headers: { 'content-type': 'application/octet-stream', accept: 'application/json, application/problem+json' },
      credentials: 'same-origin',
      body: file,
    });
  } catch {
    throw new RequestFailure({ kind: 'unreachable' }, where);
  }
  const body: unknown = await response.json().catch(() => undefined);
  if (!response.ok) {
    const problem = problemSchema.safeParse(body);
    throw new RequestFailure(
      problem.success ? { kind: 'problem', problem: problem.data } : { kind: 'unreadable', status: response.status },
      where,
    );
  }
  const parsed = answer.safeParse(body);
  if (!parsed.success) throw new RequestFailure({ kind: 'unreadable', status: response.status }, where);
  return parsed.data;
}
