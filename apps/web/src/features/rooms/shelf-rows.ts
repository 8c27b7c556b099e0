import type { DrawnRooms } from '@jarfold/contracts';

type DrawnShelf = DrawnRooms['rooms'][number]['shelves'][number];
type PlacedJar = DrawnShelf['jars'][number];

/** A jar where it stands, or the number of a place that is free. */
export type Place =
  | { readonly kind: 'jar'; readonly jar: PlacedJar }
  | { readonly kind: 'empty'; readonly place: number };

export interface ShelfRow {
  readonly row: number;
  readonly free: number;
  readonly places: readonly Place[];
}

/** The rows from the top, each from left to right. Two jars logged on one place are both there. */
export function shelfRows(shelf: DrawnShelf): readonly ShelfRow[] {
  return Array.from({ length: shelf.rows }, (_, index) => {
    const row = index + 1;
    const places = placesOf(
      shelf.jars.filter((jar) => jar.row === row),
      shelf.placesPerRow,
    );
    return { row, places, free: places.filter(({ kind }) => kind === 'empty').length };
  });
}

function placesOf(jars: readonly PlacedJar[], width: number): readonly Place[] {
  const last = Math.max(width, ...jars.map(({ place }) => place));
  return Array.from({ length: last }, (_, index): readonly Place[] => {
    const here = jars.filter(({ place }) => place === index + 1);
    return here.length > 0 ? here.map((jar) => ({ kind: 'jar', jar })) : [{ kind: 'empty', place: index + 1 }];
  }).flat();
}
