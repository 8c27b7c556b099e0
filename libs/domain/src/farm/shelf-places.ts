/** A shelf as far as its places go. */
export interface ShelfGrid {
  readonly roomId: string;
  readonly rows: number;
  readonly placesPerRow: number;
  readonly archived: boolean;
}

/** Places of a room: the sum over its shelves in use. */
export function shelfPlacesOf(roomId: string, shelves: readonly ShelfGrid[]): number {
  return shelves
    .filter((shelf) => shelf.roomId === roomId && !shelf.archived)
    .reduce((places, shelf) => places + shelf.rows * shelf.placesPerRow, 0);
}
