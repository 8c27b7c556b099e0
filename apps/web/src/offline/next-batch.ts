import type { OwnEntry } from './own-entry.js';

/** Well under the server's bound, so that a slow link makes progress in steps it can finish. */
export const MOST_PER_REQUEST = 100;
const MOST_CHARACTERS_PER_REQUEST = 400_000;

/**
 * The unsent entries to send next, in the order of their numbers; empty when none waits. One entry always fits, however
 * long it is.
 * @param most entries at most
 */
export function nextBatch(own: readonly OwnEntry[], most: number): readonly OwnEntry[] {
  const unsent = own.filter(({ state }) => state === 'unsent').sort((a, b) => a.sequence - b.sequence);
  const batch: OwnEntry[] = [];
  let characters = 0;
  for (const entry of unsent.slice(0, most)) {
    characters += JSON.stringify(entry.payload).length;
    if (batch.length > 0 && characters > MOST_CHARACTERS_PER_REQUEST) break;
    batch.push(entry);
  }
  return batch;
}
