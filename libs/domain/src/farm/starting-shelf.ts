/** Rows of a first shelf. Our own choice: what a person reaches without a ladder. */
const ROWS = 4;
/** A first shelf has at least so many places, so that the jars of the first weeks fit too. */
const LEAST_PLACES = 40;

/** A shelf that holds a farm's first jars and as many again. */
export function startingShelf(jars: number): { readonly rows: number; readonly placesPerRow: number } {
  return { rows: ROWS, placesPerRow: Math.ceil(Math.max(LEAST_PLACES, 2 * jars) / ROWS) };
}

/** The place of the n-th jar on a shelf filled row by row, counted from 0; rows and places count from 1. */
export function placeInOrder(index: number, placesPerRow: number): { readonly row: number; readonly place: number } {
  return { row: Math.floor(index / placesPerRow) + 1, place: (index % placesPerRow) + 1 };
}
