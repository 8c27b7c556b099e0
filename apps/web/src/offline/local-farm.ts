import {
  type ActionEntry,
  actionBehind,
  type BenchEntry,
  type BenchReference,
  type BenchThings,
  type BenchWorld,
  codesTakenSince,
  type Decision,
  decideEntry,
  type Jar,
  type LoggedEntry,
  type ShelfPlace,
  type ThingAfter,
  type ThingKind,
  voidedEntries,
} from '@jarfold/domain';
import type { FarmFacts, ThingNow } from './farm-facts.js';
import { benchEntryOf, type NewOwnEntry, type OwnEntry, type ThingImage } from './own-entry.js';
import { type AnyThing, keyOf, type ThingKeyed, ThingShelf } from './thing-shelf.js';

type State = BenchThings[ThingKind];

/**
 * The farm as this tablet sees it: what the server said, with the tablet's own entries that the server's picture does
 * not contain yet laid on top by the same rules the server uses. Laying them on again after a new picture is safe.
 */
export class LocalFarm implements BenchWorld {
  readonly reference: BenchReference;
  #farm: FarmFacts | null = null;
  #shelf = new ThingShelf();
  #version = 0;
  /** What the server says of the things that own entries have changed here. */
  readonly #under = new Map<string, ThingKeyed & { readonly state: State | null }>();

  constructor() {
    const find = <T extends { readonly id: string }>(items: readonly T[] | undefined, id: string) =>
      items?.find((item) => item.id === id);
    this.reference = {
      strain: (id) => find(this.#farm?.strains, id),
      size: (id) => find(this.#farm?.sizes, id),
      hasShelf: (id) => find(this.#farm?.shelves, id) !== undefined,
      run: (id) => find(this.#farm?.runs, id),
      codeTaken: (named, code) => this.#shelf.codes.isTaken(named, code),
      nextCode: (named, prefix, day) => this.#shelf.codes.next(named, prefix, day),
    };
  }

  get farm(): FarmFacts | null {
    return this.#farm;
  }

  /** Another number whenever anything here may have changed: what was worked out from all of it is good for one number. */
  get version(): number {
    return this.#version;
  }

  /** Puts the server's picture in place of all that was known. Own entries have to be laid on again. */
  replace(farm: FarmFacts | null, things: Iterable<AnyThing>): void {
    this.#version += 1;
    this.#farm = farm;
    this.#under.clear();
    this.#shelf = new ThingShelf();
    for (const { kind, state } of things) this.#shelf.set({ kind, id: state.id }, state);
  }

  setFarm(farm: FarmFacts): void {
    this.#version += 1;
    this.#farm = farm;
  }

  /** Takes over what has changed on the server. */
  absorb(things: readonly ThingNow[]): void {
    if (things.length > 0) this.#version += 1;
    for (const thing of things) {
      const key = keyOf(thing);
      if (this.#under.has(key)) this.#under.set(key, thing);
      else this.#shelf.set(thing, thing.state);
    }
  }

  /**
   * Lays the tablet's entries on the server's picture, in order. Answers which of them the rules refuse here.
   * @param entries those the picture does not contain
   * @param known every own entry still kept, for what a correction takes back
   */
  layOn(entries: readonly OwnEntry[], known: readonly OwnEntry[]): ReadonlySet<string> {
    this.#lift();
    const voided = voidedAmong(known);
    const here = new Set(entries.map(({ id }) => id));
    const refused = new Set<string>();
    for (const own of entries) {
      const entry = benchEntryOf(own);
      if (voided.has(own.id)) continue;
      const stands =
        entry.kind === 'corrected'
          ? this.#correctKnown(own, entry.payload.entryId, here, known, voided)
          : this.apply(entry).outcome === 'applied';
      if (!stands) refused.add(own.id);
    }
    return refused;
  }

  /** Decides an entry and, when it is applied, shows its effect. */
  apply(entry: ActionEntry): Decision {
    const decision = decideEntry(this, entry);
    if (decision.outcome === 'applied') for (const thing of decision.things) this.#cover(thing, thing.state);
    return decision;
  }

  /** Decides an entry without showing anything. */
  try(entry: ActionEntry): Decision {
    return decideEntry(this, entry);
  }

  /** The touched things before and after a decision. */
  imagesOf(things: readonly ThingAfter[]): readonly ThingImage[] {
    return things.map(({ kind, id, state }) => ({ kind, id, before: this.#shelf.get(kind, id) ?? null, after: state }));
  }

  /** Whether every thing of an entry stands as that entry left it, so that it can be taken back here. */
  standsAsLeft(images: readonly ThingImage[]): boolean {
    return images.length > 0 && images.every((image) => sameButMoments(this.#now(image), image.after));
  }

  thing<K extends ThingKind>(kind: K, id: string): BenchThings[K] | undefined {
    return this.#shelf.get(kind, id);
  }

  all<K extends ThingKind>(kind: K): IterableIterator<BenchThings[K]> {
    return this.#shelf.all(kind);
  }

  jarsAt(place: ShelfPlace): readonly Jar[] {
    return this.#shelf.jarsAt(place);
  }

  jarsOnShelf(shelfId: string): readonly Jar[] {
    return this.#shelf.jarsOnShelf(shelfId);
  }

  countOnShelf(shelfId: string): number {
    return this.#shelf.countOnShelf(shelfId);
  }

  jarWithCode(code: string): Jar | undefined {
    return this.#shelf.jarWithCode(code);
  }

  /**
   * A correction of an entry the server's picture contains already: its things go back to what they were. Where others
   * have changed them since, or carry their codes by now, what is brought back is done again on what is there; what is
   * taken back shows when the server has taken it. Answers false where what is brought back cannot be done any more.
   */
  #correctKnown(
    { state }: OwnEntry,
    entryId: string,
    here: ReadonlySet<string>,
    known: readonly OwnEntry[],
    voided: ReadonlyMap<string, string>,
  ): boolean {
    const own = (id: string) => known.find((entry) => entry.id === id);
    const target = own(entryId);
    if (!target || here.has(entryId)) return true;
    if (this.standsAsLeft(target.images) && this.#codesAreFree(target.images)) {
      for (const image of target.images) this.#cover(image, image.before);
      return true;
    }
    const action = actionBehind((id) => {
      const found = own(id);
      return found && benchEntryOf(found);
    }, entryId);
    if (!action || action.id === entryId || voided.has(action.id)) return true;
    if (this.apply(action).outcome === 'applied') return true;
    if (state !== 'applied') return false;
    this.#bringBackGone(target.images);
    return true;
  }

  /**
   * What the server has brought back, on work of another tablet that this picture does not show yet: what is gone here is
   * there again as it was, and the rest stays as it is known until the next picture.
   */
  #bringBackGone(images: readonly ThingImage[]): void {
    for (const image of images)
      if (image.before !== null && this.#now(image) === null) this.#cover(image, image.before);
  }

  /** The codes that what comes back had on this tablet; the server may have given others. */
  #codesAreFree(images: readonly ThingImage[]): boolean {
    const back = images.map(({ kind, id, before }) => ({ kind, id, state: before }) as ThingAfter);
    return codesTakenSince(this, back).length === 0;
  }

  #now({ kind, id }: ThingKeyed): State | null {
    return this.#shelf.get(kind, id) ?? null;
  }

  #cover(thing: ThingKeyed, state: State | null): void {
    this.#version += 1;
    const key = keyOf(thing);
    if (!this.#under.has(key)) this.#under.set(key, { kind: thing.kind, id: thing.id, state: this.#now(thing) });
    this.#shelf.set(thing, state);
  }

  /** Takes every own entry off again. */
  #lift(): void {
    if (this.#under.size > 0) this.#version += 1;
    for (const thing of this.#under.values()) this.#shelf.set(thing, thing.state);
    this.#under.clear();
  }
}

/** Own entries that another own entry has taken back. Refused corrections take nothing back. */
export function voidedAmong(known: readonly OwnEntry[]): ReadonlyMap<string, string> {
  // Asked at every drawing and over all that is kept: the few corrections are picked first.
  const standing = known.filter(
    ({ kind, state }) => kind === 'corrected' && (state === 'unsent' || state === 'applied'),
  );
  return voidedEntries(standing.map(asLogged));
}

function asLogged(own: OwnEntry): LoggedEntry {
  return { position: own.sequence, entry: benchEntryOf(own), facts: {} };
}

/** An entry as it will be decided, with the code it settled on written into it: labels are printed before it is sent. */
export function withItsCode(own: NewOwnEntry, code: string | undefined): NewOwnEntry {
  const makesLot = ['culture_made', 'received', 'inoculated', 'blanks_kept'].includes(own.kind);
  if (!makesLot || code === undefined || own.payload.code !== undefined) return own;
  return { ...own, payload: { ...own.payload, code } };
}

/** The server settles moments anew by its own clock, so a thing may differ from this tablet's in its moments alone. */
function sameButMoments(now: State | null, then: State | null): boolean {
  return withoutMoments(now) === withoutMoments(then);
}

function withoutMoments(state: State | null): string {
  if (state === null) return '';
  const lasting = Object.entries(state).filter(([name]) => !name.endsWith('AtMs'));
  return JSON.stringify(lasting.sort(([a], [b]) => (a < b ? -1 : 1)));
}

export function isAction(entry: BenchEntry): entry is ActionEntry {
  return entry.kind !== 'corrected';
}
