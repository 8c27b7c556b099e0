import { type CalendarDay, dayFromNumber, type EntryKind, type EntryPayloads } from '@jarfold/domain';
import type { StoryRandom } from './story-random.js';

/** One thing that happened on the invented farm, ready for the bench log. */
export interface StoryEntry {
  readonly id: string;
  readonly kind: EntryKind;
  readonly payload: EntryPayloads[EntryKind];
  readonly staffId: string;
  /** Milliseconds since 1970-01-01T00:00Z. */
  readonly atMs: number;
}

const DAY_MS = 86_400_000;
const MINUTE_MS = 60_000;

/** Gathers what happens, minute after minute: within a day entries follow one another from the given hour on. */
export class StoryLog {
  readonly entries: StoryEntry[] = [];
  readonly #random: StoryRandom;
  readonly #staffIds: readonly string[];
  #lastMs = 0;

  constructor(random: StoryRandom, staffIds: readonly string[]) {
    this.#random = random;
    this.#staffIds = staffIds;
  }

  /** Writes one entry on a day, at the hour (UTC) or, when that has passed on the farm already, a minute later. */
  write<K extends EntryKind>(dayNumber: number, hour: number, kind: K, payload: EntryPayloads[K]): void {
    const wished = dayNumber * DAY_MS + Math.round(hour * 60) * MINUTE_MS;
    this.#lastMs = Math.max(wished, this.#lastMs + MINUTE_MS);
    this.entries.push({
      id: this.#random.uuid(),
      kind,
      payload,
      staffId: this.#random.pick(this.#staffIds),
      atMs: this.#lastMs,
    });
  }

  /** The calendar day of a day number. */
  day(dayNumber: number): CalendarDay {
    return dayFromNumber(dayNumber);
  }
}
