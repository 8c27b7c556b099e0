import {
  type BenchThings,
  CodeBook,
  type CodedThing,
  type Jar,
  type ShelfPlace,
  type ThingKind,
} from '@jarfold/domain';

/** A thing with its kind, as it is stored and sent. */
export type AnyThing = { [K in ThingKind]: { readonly kind: K; readonly state: BenchThings[K] } }[ThingKind];

export interface ThingKeyed {
  readonly kind: ThingKind;
  readonly id: string;
}

export function keyOf({ kind, id }: ThingKeyed): string {
  return `${kind}:${id}`;
}

type State = BenchThings[ThingKind];

/** Everything on the bench, found by id, by place, by shelf and by code. */
export class ThingShelf {
  readonly codes = new CodeBook();
  readonly #things: { readonly [K in ThingKind]: Map<string, BenchThings[K]> } = {
    jar: new Map(),
    lot: new Map(),
    grainBatch: new Map(),
    cycle: new Map(),
    pool: new Map(),
    harvest: new Map(),
  };
  readonly #jarsByShelf = new Map<string, Set<string>>();
  readonly #jarByCode = new Map<string, string>();

  get<K extends ThingKind>(kind: K, id: string): BenchThings[K] | undefined {
    return this.#things[kind].get(id);
  }

  all<K extends ThingKind>(kind: K): IterableIterator<BenchThings[K]> {
    return this.#things[kind].values();
  }

  set({ kind, id }: ThingKeyed, state: State | null): void {
    const things = this.#things[kind] as Map<string, State>;
    this.#forget(kind, things.get(id));
    if (state === null) things.delete(id);
    else {
      things.set(id, state);
      this.#note(kind, state);
    }
  }

  /** Jars that stand on a shelf now. */
  jarsOnShelf(shelfId: string): readonly Jar[] {
    return [...(this.#jarsByShelf.get(shelfId) ?? [])].flatMap((id) => this.get('jar', id) ?? []);
  }

  countOnShelf(shelfId: string): number {
    return this.#jarsByShelf.get(shelfId)?.size ?? 0;
  }

  jarsAt({ shelfId, row, place }: ShelfPlace): readonly Jar[] {
    if (row === undefined || place === undefined) return [];
    return this.jarsOnShelf(shelfId).filter((jar) => jar.place?.row === row && jar.place.place === place);
  }

  jarWithCode(code: string): Jar | undefined {
    const id = this.#jarByCode.get(code.toUpperCase());
    return id === undefined ? undefined : this.get('jar', id);
  }

  #note(kind: ThingKind, state: State): void {
    if ('code' in state) this.codes.take(kind as CodedThing, state.code, state.id);
    if (kind !== 'jar') return;
    const jar = state as Jar;
    this.#jarByCode.set(jar.code.toUpperCase(), jar.id);
    const shelf = shelfOf(jar);
    if (shelf) this.#jarsByShelf.set(shelf, (this.#jarsByShelf.get(shelf) ?? new Set()).add(jar.id));
  }

  #forget(kind: ThingKind, state: State | undefined): void {
    if (!state) return;
    if ('code' in state) this.codes.release(kind as CodedThing, state.code, state.id);
    if (kind !== 'jar') return;
    const jar = state as Jar;
    if (this.#jarByCode.get(jar.code.toUpperCase()) === jar.id) this.#jarByCode.delete(jar.code.toUpperCase());
    const shelf = shelfOf(jar);
    if (shelf) this.#jarsByShelf.get(shelf)?.delete(jar.id);
  }
}

function shelfOf(jar: Jar): string | null {
  return jar.goneAs === null ? (jar.place?.shelfId ?? null) : null;
}
