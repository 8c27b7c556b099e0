import type { BenchWarning, Impossible } from '@jarfold/domain';
import type { KeptBench } from './kept-bench.js';
import { isAction, voidedAmong, withItsCode } from './local-farm.js';
import type { NewEntries } from './new-entry.js';
import { type BenchAction, benchEntryOf, type NewOwnEntry, type OwnEntry } from './own-entry.js';

export type RecordAnswer =
  | { readonly outcome: 'saved'; readonly entry: OwnEntry; readonly warnings: readonly BenchWarning[] }
  | { readonly outcome: 'impossible'; readonly obstacles: readonly Impossible[] };

export type UndoAnswer =
  | { readonly outcome: 'saved'; readonly entry: OwnEntry }
  | { readonly outcome: 'nothing-to-undo' }
  /** Another entry of this tablet rests on it and has to be taken back first. */
  | { readonly outcome: 'in-the-way'; readonly entry: OwnEntry };

/** Decides on the farm as this tablet sees it whether an action, or taking one back, can be; and keeps it if so. */
export class Recorder {
  readonly #kept: KeptBench;
  readonly #newEntries: NewEntries;

  constructor(kept: KeptBench, newEntries: NewEntries) {
    this.#kept = kept;
    this.#newEntries = newEntries;
  }

  async record(action: BenchAction, staffId: string): Promise<RecordAnswer> {
    const { view } = this.#kept;
    const plain = this.#newEntries.of(action, staffId, []);
    const entry = benchEntryOf(plain);
    if (!isAction(entry)) throw new TypeError('An entry is taken back with undo().');
    const decision = view.try(entry);
    if (decision.outcome === 'refused') return { outcome: 'impossible', obstacles: decision.obstacles };
    const images = view.imagesOf(decision.things);
    const stored = await this.#store({ ...withItsCode(plain, decision.facts.code), images });
    const now = benchEntryOf(stored);
    if (isAction(now)) view.apply(now);
    return { outcome: 'saved', entry: stored, warnings: decision.warnings };
  }

  async undo(entryId: string, staffId: string): Promise<UndoAnswer> {
    const target = this.#kept.own.find(({ id }) => id === entryId);
    if (!target || !this.mayUndo(target)) return { outcome: 'nothing-to-undo' };
    const payload = { entryId, reason: 'Taken back at the bench.' };
    const images = target.images.map((image) => ({ ...image, before: image.after, after: image.before }));
    const correction = this.#newEntries.of({ kind: 'corrected', payload }, staffId, images);
    const inTheWay = this.#restingOn(correction);
    if (inTheWay) return { outcome: 'in-the-way', entry: inTheWay };
    const stored = await this.#store(correction);
    this.#kept.layOn();
    return { outcome: 'saved', entry: stored };
  }

  mayUndo(entry: OwnEntry): boolean {
    if (entry.state === 'refused' || entry.state === 'unsendable') return false;
    return !voidedAmong(this.#kept.own).has(entry.id);
  }

  async #store(entry: NewOwnEntry): Promise<OwnEntry> {
    const [stored] = await this.#kept.append([entry]);
    if (!stored) throw new Error('The store kept nothing.');
    return stored;
  }

  /** The first entry of this tablet that could not stand if the correction did; the view is left as it was. */
  #restingOn(correction: NewOwnEntry): OwnEntry | null {
    const { own, view } = this.#kept;
    const trial: OwnEntry = { ...correction, sequence: Number.MAX_SAFE_INTEGER };
    const before = this.#kept.layOn();
    const after = view.layOn([...this.#kept.pending(), trial], [...own, trial]);
    const broken = own.find(({ id }) => after.has(id) && !before.has(id)) ?? null;
    this.#kept.layOn();
    return broken;
  }
}
