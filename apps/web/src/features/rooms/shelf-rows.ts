import type { DrawnRooms } from '@jarfold/contracts';

type DrawnShelf = DrawnRooms['rooms'][number]['shelves'][number];
type PlacedJar = DrawnShelf['jars'][number];

export type Place =
  | { readonly kind: 'jar'; readonly jar: PlacedJar }
  | { readonly kind: 'empty'; readonly from: number; readonly count: number };

export interface ShelfRow {
  readonly row: number;
  readonly places: readonly Place[];
}

/** The rows from the top, each from left to right. Neighbouring free places are drawn as one gap with its count. */
export function shelfRows(shelf: DrawnShelf): readonly ShelfRow[] {
  return Array.from({ length: shelf.rows }, (_, index) => ({
    row: index + 1,
    places: placesOf(
      shelf.jars.filter((jar) => jar.row === index + 1),
      shelf.placesPerRow,
    ),
  }));
}

function placesOf(jars: readonly PlacedJar[], width: number): readonly Place[] {
  const places: Place[] = [];
  let next = 1;
  for (const jar of [...jars].sort((a, b) => a.place - b.place)) {
    if (jar.place > next) places.push({ kind: 'empty', from: next, count: jar.place - next });
    places.push({ kind: 'jar', jar });
    next = Math.max(next, jar.place + 1);
  }
  if (next <= width) places.push({ kind: 'empty', from: next, count: width - next + 1 });
  return places;
}
