import type { Jar, ShelfPlace } from '@jarfold/domain';
import type { FarmFacts, ShelfFacts } from '../../offline/index.js';

export interface ShelfRow {
  readonly row: number;
  /** Places count from 1; several jars stand on one where two tablets have put them. */
  readonly places: readonly { readonly place: number; readonly jars: readonly Jar[] }[];
}

/** A shelf as it stands, and the jars on it that nobody gave a row and a place. */
export function shelfRows(
  shelf: Pick<ShelfFacts, 'rows' | 'placesPerRow'>,
  jars: readonly Jar[],
): { readonly rows: readonly ShelfRow[]; readonly loose: readonly Jar[] } {
  const exact = new Map<string, Jar[]>();
  const loose: Jar[] = [];
  for (const jar of jars) {
    const { row, place } = jar.place ?? {};
    const fits = row !== undefined && place !== undefined && row <= shelf.rows && place <= shelf.placesPerRow;
    if (fits) exact.set(`${row}/${place}`, [...(exact.get(`${row}/${place}`) ?? []), jar]);
    else loose.push(jar);
  }
  const rows = Array.from({ length: shelf.rows }, (_, at) => ({
    row: at + 1,
    places: Array.from({ length: shelf.placesPerRow }, (_unused, index) => ({
      place: index + 1,
      jars: exact.get(`${at + 1}/${index + 1}`) ?? [],
    })),
  }));
  return { rows, loose };
}

/** The first free places of a shelf in reading order, as many as asked or as there are. */
export function freePlaces(shelf: ShelfFacts, jars: readonly Jar[], count: number): readonly ShelfPlace[] {
  const { rows } = shelfRows(shelf, jars);
  return rows
    .flatMap(({ row, places }) =>
      places.flatMap(({ place, jars: here }) => (here.length === 0 ? [{ shelfId: shelf.id, row, place }] : [])),
    )
    .slice(0, count);
}

/** A place for each of the jars: free ones first, then the shelf without a place when it is full. */
export function placesFor(shelf: ShelfFacts, jars: readonly Jar[], count: number): readonly ShelfPlace[] {
  const free = freePlaces(shelf, jars, count);
  const rest = Array.from({ length: count - free.length }, () => ({ shelfId: shelf.id }));
  return [...free, ...rest];
}

/** Shelves in use, room by room in the farm's order and by name within a room, numbers as numbers. */
export function shelvesInOrder(farm: FarmFacts): ShelfFacts[] {
  const roomAt = ({ roomId }: ShelfFacts) => farm.rooms.findIndex(({ id }) => id === roomId);
  return farm.shelves
    .filter(({ archived }) => !archived)
    .sort((a, b) => roomAt(a) - roomAt(b) || a.name.localeCompare(b.name, 'en', { numeric: true }));
}
