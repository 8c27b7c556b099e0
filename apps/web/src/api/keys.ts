import type { QueryClient } from '@tanstack/react-query';
import { askAnew } from './kept-answers.js';

/** Names under which answers are kept. What a change makes stale is decided here, once. */
export const keys = {
  session: ['session'],
  setUp: ['set-up'],
  farm: ['farm'],
  species: ['species'],
  week: ['week'],
  runs: ['runs'],
  stock: ['stock'],
  jobs: ['jobs'],
  rates: ['rates'],
  sterilising: ['sterilising'],
  recall: ['recall'],
  watch: ['watch'],
  conflicts: ['conflicts'],
  labels: ['labels'],
} as const;

/** A change of the farm, its runs or its stock can change every plan and every list drawn from it. */
export async function refreshFarm(client: QueryClient): Promise<void> {
  await Promise.all(
    [keys.farm, keys.week, keys.runs, keys.stock, keys.rates, keys.recall, keys.watch, keys.conflicts].map((queryKey) =>
      askAnew(client, queryKey),
    ),
  );
}
