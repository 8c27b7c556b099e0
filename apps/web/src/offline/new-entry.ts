import { calendarDayAt, type EntryKind } from '@jarfold/domain';
import type { KeptBench } from './kept-bench.js';
import type { BenchAction, NewOwnEntry, ThingImage } from './own-entry.js';
import type { TabletClock } from './tablet-clock.js';
import type { CarriedEntry } from './unsent-file.js';

const UNSENT = { state: 'unsent', position: null, refusal: null, settled: false } as const;

/** What turns an action into an entry: an id, a moment and a day of the farm. */
export class NewEntries {
  readonly #kept: KeptBench;
  readonly #clock: TabletClock;
  readonly #newId: () => string;

  constructor(kept: KeptBench, clock: TabletClock, newId: () => string) {
    this.#kept = kept;
    this.#clock = clock;
    this.#newId = newId;
  }

  /** An entry of now, and never earlier than this tablet's last. */
  of(action: BenchAction, staffId: string, images: readonly ThingImage[]): NewOwnEntry {
    const happenedAt = this.#clock.tabletInstant();
    const atMs = Math.max(this.#momentOf(happenedAt), this.#kept.own.at(-1)?.atMs ?? -Infinity);
    return {
      id: this.#newId(),
      happenedAt,
      staffId,
      kind: action.kind,
      payload: action.payload as Readonly<Record<string, unknown>>,
      atMs,
      day: this.#dayAt(atMs),
      ...UNSENT,
      images,
    };
  }

  /** An entry another tablet made: it keeps its id and its moment. Its kind was checked when the file was read. */
  carried({ id, happenedAt, staffId, kind, payload }: CarriedEntry): NewOwnEntry {
    const atMs = this.#momentOf(happenedAt);
    const day = this.#dayAt(atMs);
    return { id, happenedAt, staffId, kind: kind as EntryKind, payload, atMs, day, ...UNSENT, images: [] };
  }

  #momentOf(happenedAt: string): number {
    return this.#clock.momentOf(happenedAt, this.#kept.view.farm?.takenAt);
  }

  #dayAt(atMs: number) {
    return calendarDayAt(atMs, this.#kept.view.farm?.farm.timeZone ?? 'UTC');
  }
}
