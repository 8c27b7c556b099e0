export interface PlaceOnShelf {
  readonly shelfId: string;
  readonly row: number;
  readonly place: number;
}

/** Hands out free places of a room, from the first shelf's top row on, and takes them back. */
export class ShelfPlaces {
  readonly #free: PlaceOnShelf[];

  constructor(shelves: readonly { readonly id: string; readonly rows: number; readonly placesPerRow: number }[]) {
    this.#free = shelves.flatMap(({ id, rows, placesPerRow }) =>
      Array.from({ length: rows * placesPerRow }, (_, at) => ({
        shelfId: id,
        row: Math.floor(at / placesPerRow) + 1,
        place: (at % placesPerRow) + 1,
      })),
    );
  }

  get free(): number {
    return this.#free.length;
  }

  take(): PlaceOnShelf | undefined {
    return this.#free.shift();
  }

  giveBack(place: PlaceOnShelf): void {
    // Places are refilled in the order they came free, as on a real shelf that is walked along.
    this.#free.push(place);
  }
}
