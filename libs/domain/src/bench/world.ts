import type { CalendarDay } from '../calendar/calendar-day.js';
import type { ShelfPlace } from './entry.js';
import type { BenchThings, Jar, ThingKind } from './thing.js';

/** What the rules may look up about the farm: settings that are no part of the log. */
export interface BenchReference {
  strain(id: string): BenchStrain | undefined;
  size(id: string): { readonly ripeG: number } | undefined;
  hasShelf(id: string): boolean;
  run(id: string): BenchRun | undefined;
  /** Codes people read on labels, unique by what they name. */
  codeTaken(named: CodedThing, code: string): boolean;
  /** The next free code of a prefix in the day's ISO week. */
  nextCode(named: Exclude<CodedThing, 'jar'>, prefix: string, day: CalendarDay): string;
}

export type CodedThing = 'lot' | 'jar' | 'grainBatch' | 'cycle';

export interface BenchStrain {
  readonly shortCode: string;
  readonly lastGeneration: number;
  readonly mayBeChilled: boolean;
}

export interface BenchRun {
  readonly strainIds: readonly string[];
  readonly open: boolean;
}

/** The farm as it stands before an entry. */
export interface BenchWorld {
  thing<K extends ThingKind>(kind: K, id: string): BenchThings[K] | undefined;
  /** Jars that stand on exactly this place; none when the place names no row or number. */
  jarsAt(place: ShelfPlace): readonly Jar[];
  readonly reference: BenchReference;
}
