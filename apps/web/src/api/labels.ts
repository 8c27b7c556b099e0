import { type LabelLayout, labelLayoutSchema } from '@jarfold/contracts';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { keepAnswer } from './kept-answers.js';
import { keys } from './keys.js';
import { request, requireFile } from './request.js';

const LAYOUT = '/api/labels/layout';

/** How the farm's labels lie on what its printer takes. */
export function useLabelLayout() {
  return useQuery({
    queryKey: keys.labels,
    queryFn: ({ signal }) => request(LAYOUT, { answer: labelLayoutSchema, signal }),
  });
}

export function useSaveLabelLayout() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (body: LabelLayout) => request(LAYOUT, { method: 'PUT', body, answer: labelLayoutSchema }),
    onSuccess: (layout) => keepAnswer(client, keys.labels, layout),
  });
}

/** Opens labels in a page of their own to print from; a refusal is said here and not as raw text there. */
export function useOpenLabels() {
  return useMutation({
    mutationFn: async (address: string) => {
      await requireFile(address);
      // A browser that lets nothing open by itself shows them in this window instead.
      if (window.open(address, '_blank') === null) window.location.assign(address);
    },
  });
}
