import type { OwnEntry } from './own-entry.js';

/**
 * This tablet's entries as another device's: what waits is counted from 1. Ids of entries stay, so nothing can be
 * recorded twice.
 */
export function countedAnew(own: readonly OwnEntry[]): {
  readonly retired: readonly OwnEntry[];
  readonly waiting: readonly OwnEntry[];
} {
  const waiting = own.filter(({ state }) => state === 'unsent').sort((a, b) => a.sequence - b.sequence);
  const gone = own.filter(({ state }) => state !== 'unsent');
  return {
    // Entries of the earlier count can no longer be sent again under it: numbers below 1 keep them out of the way.
    retired: gone.map((entry, index) => ({
      ...entry,
      sequence: Math.min(entry.sequence, 0) - gone.length + index,
    })),
    waiting: waiting.map((entry, index) => ({ ...entry, sequence: index + 1 })),
  };
}
