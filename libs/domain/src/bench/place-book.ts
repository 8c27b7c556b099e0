import type { ShelfPlace } from './entry.js';
import type { Jar } from './thing.js';

/** Which jars stand where, kept as jars come, move and go. Places without a row or a number are not told apart. */
export class PlaceBook {
  readonly #jars = new Map<string, Set<string>>();

  at(place: ShelfPlace): readonly string[] {
    const key = placeKey(place);
    return key === null ? [] : [...(this.#jars.get(key) ?? [])];
  }

  /** Takes note of a jar as it was and as it is. */
  follow(before: Jar | undefined, after: Jar | null): void {
    const [from, to] = [standsAt(before), standsAt(after)];
    if (from !== null && before) this.#jars.get(from)?.delete(before.id);
    if (to !== null && after) this.#jars.set(to, (this.#jars.get(to) ?? new Set()).add(after.id));
  }
}

function standsAt(jar: Jar | undefined | null): string | null {
  return jar?.place && jar.goneAs === null ? placeKey(jar.place) : null;
}

function placeKey({ shelfId, row, place }: ShelfPlace): string | null {
  return row === undefined || place === undefined ? null : `${shelfId}/${row}/${place}`;
}
