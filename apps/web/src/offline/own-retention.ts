import type { OwnEntry } from './own-entry.js';

/** Sent entries are kept so far back that a server restored from an older copy gets them again. */
const KEEP_SENT = 2_000;
/** So many of the newest entries show at once that they were taken back, without the server. */
const KEEP_IMAGES = 60;

/**
 * Ids of the entries that nothing needs here any more, oldest first.
 * @param own in the order of their numbers
 * @param cursor position of the farm's log that the picture stands at
 */
export function tooOldToKeep(own: readonly OwnEntry[], cursor: number): readonly string[] {
  const done = own.filter((entry) => isInPicture(entry, cursor) || isPutAway(entry));
  return done.slice(0, Math.max(0, done.length - KEEP_SENT)).map(({ id }) => id);
}

/** Those that stay; the older of them without the images a taking back would show. */
export function withoutTheOld(own: readonly OwnEntry[], dropped: readonly string[]): readonly OwnEntry[] {
  const gone = new Set(dropped);
  const keepFrom = own.length - KEEP_IMAGES;
  return own
    .filter(({ id }) => !gone.has(id))
    .map((entry, index) =>
      index < keepFrom && entry.state === 'applied' && entry.images.length > 0 ? { ...entry, images: [] } : entry,
    );
}

function isInPicture({ state, position }: OwnEntry, cursor: number): boolean {
  return state === 'applied' && (position ?? 0) <= cursor;
}

function isPutAway({ state, settled }: OwnEntry): boolean {
  return (state === 'refused' || state === 'unsendable') && settled;
}
