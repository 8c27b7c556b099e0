import type { ActionEntry, ShelfPlace } from './entry.js';

/** A jar and the place an entry puts it on. */
export interface Placing {
  readonly jarId: string;
  readonly place: ShelfPlace;
}

/** Every jar an entry puts somewhere, new jars included. */
export function placings({ payload }: ActionEntry): readonly Placing[] {
  if ('moves' in payload) return payload.moves;
  if ('place' in payload) {
    const { place } = payload;
    return place ? payload.jarIds.map((jarId) => ({ jarId, place })) : [];
  }
  if (!('lotId' in payload && 'jars' in payload)) return [];
  return payload.jars.flatMap(({ id, place }) => (place ? [{ jarId: id, place }] : []));
}
