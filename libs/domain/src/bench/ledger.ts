import type { CodeBook } from './code-book.js';
import { type CorrectionDecision, decideCorrection, type LoggedEntry } from './correction.js';
import { type Decision, decideEntry, type ThingAfter } from './decide.js';
import { type DrawRecord, thingKey } from './effect.js';
import type { ActionEntry, EntryOf, ShelfPlace } from './entry.js';
import { PlaceBook } from './place-book.js';
import type { BenchThings, Jar, ThingKind } from './thing.js';
import type { BenchReference, BenchWorld } from './world.js';

/** Settings the ledger looks up; the codes it keeps itself. */
export type BenchSettings = Omit<BenchReference, 'codeTaken' | 'nextCode'>;

/** What has changed since the ledger was filled: what a store has to write, all of it or nothing. */
export interface LedgerChanges {
  readonly things: readonly ThingAfter[];
  /** Jars whose recorded draws are to be forgotten before `draws` are added. */
  readonly forgetDrawsOf: readonly string[];
  readonly draws: readonly DrawRecord[];
}

/**
 * The farm, or the part of it that some entries touch, while entries are applied one after another. It is filled with
 * things as they are stored, applies entries by the rules, and says what has changed.
 */
export class BenchLedger implements BenchWorld {
  readonly reference: BenchReference;
  readonly #codes: CodeBook;
  readonly #places = new PlaceBook();
  readonly #things = new Map<string, BenchThings[ThingKind]>();
  readonly #changed = new Map<string, ThingAfter>();
  readonly #draws = new Map<string, DrawRecord[]>();
  readonly #forget = new Set<string>();

  constructor(settings: BenchSettings, codes: CodeBook) {
    this.#codes = codes;
    this.reference = {
      strain: (id) => settings.strain(id),
      size: (id) => settings.size(id),
      hasShelf: (id) => settings.hasShelf(id),
      run: (id) => settings.run(id),
      codeTaken: (named, code) => codes.isTaken(named, code),
      nextCode: (named, prefix, day) => codes.next(named, prefix, day),
    };
  }

  /** Puts a stored thing in place; it does not count as a change. */
  put<K extends ThingKind>(kind: K, state: BenchThings[K]): void {
    this.#follow(undefined, { kind, id: state.id, state } as ThingAfter);
    this.#things.set(thingKey({ kind, id: state.id }), state);
  }

  thing<K extends ThingKind>(kind: K, id: string): BenchThings[K] | undefined {
    return this.#things.get(thingKey({ kind, id })) as BenchThings[K] | undefined;
  }

  jarsAt(place: ShelfPlace): readonly Jar[] {
    return this.#places.at(place).flatMap((id) => this.thing('jar', id) ?? []);
  }

  /** Decides an entry and, when it is applied, takes its effect. */
  apply(entry: ActionEntry): Decision {
    const decision = decideEntry(this, entry);
    if (decision.outcome === 'applied') {
      for (const thing of decision.things) this.#absorb(thing);
      for (const draw of decision.draws) this.#addDraw(draw);
    }
    return decision;
  }

  /**
   * Decides a correction and, when it is applied, takes its effect.
   * @param log see `decideCorrection`
   */
  correct(correction: EntryOf<'corrected'>, log: readonly LoggedEntry[]): CorrectionDecision {
    const decision = decideCorrection(this, log, correction);
    if (decision.outcome === 'applied') {
      for (const thing of decision.things) this.#absorb(thing);
      for (const { kind, id } of decision.things) if (kind === 'jar') this.#forgetDraws(id);
      for (const draw of decision.draws) this.#addDraw(draw);
    }
    return decision;
  }

  changes(): LedgerChanges {
    return {
      things: [...this.#changed.values()],
      forgetDrawsOf: [...this.#forget],
      draws: [...this.#draws.values()].flat(),
    };
  }

  /** Forgets what has changed, once it is stored; the things stay. */
  settle(): void {
    this.#changed.clear();
    this.#draws.clear();
    this.#forget.clear();
  }

  #absorb(after: ThingAfter): void {
    const key = thingKey(after);
    this.#follow(this.#things.get(key), after);
    if (after.state === null) this.#things.delete(key);
    else this.#things.set(key, after.state);
    this.#changed.set(key, after);
  }

  #follow(before: BenchThings[ThingKind] | undefined, after: ThingAfter): void {
    this.#keepCodes(before, after);
    if (after.kind === 'jar') this.#places.follow(before as Jar | undefined, after.state);
  }

  #keepCodes(before: BenchThings[ThingKind] | undefined, { kind, state }: ThingAfter): void {
    if (kind === 'pool' || kind === 'harvest') return;
    if (before && 'code' in before) this.#codes.release(kind, before.code, before.id);
    if (state && 'code' in state) this.#codes.take(kind, state.code, state.id);
  }

  #addDraw(draw: DrawRecord): void {
    this.#draws.set(draw.jarId, [...(this.#draws.get(draw.jarId) ?? []), draw]);
  }

  #forgetDraws(jarId: string): void {
    this.#forget.add(jarId);
    this.#draws.delete(jarId);
  }
}
