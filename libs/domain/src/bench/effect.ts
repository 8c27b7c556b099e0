import type { CalendarDay } from '../calendar/calendar-day.js';
import { type Impossible, unknownThing } from './outcome.js';
import type { BenchThings, ThingKind, ThingRef } from './thing.js';

/** Spawn taken out of a jar by one entry: the record a run or a lot adds up. */
export interface DrawRecord {
  readonly entryId: string;
  readonly jarId: string;
  readonly massG: number;
  /** False when it was weighed. */
  readonly estimated: boolean;
  readonly lotId: string | null;
  readonly runId: string | null;
  readonly day: CalendarDay;
}

export type Change<T> = { readonly state: T; readonly draw?: DrawRecord } | { readonly impossible: Impossible };

/**
 * What an entry does to ONE thing. It may look at that thing, at the entry and at the entry's settled facts, and at
 * nothing else. That is what lets a correction derive a thing again from its own entries alone.
 */
export interface Effect<K extends ThingKind = ThingKind> {
  readonly kind: K;
  readonly id: string;
  change(before: BenchThings[K] | undefined): Change<BenchThings[K]>;
}

export type AnyEffect = { [K in ThingKind]: Effect<K> }[ThingKind];

/** Changes a thing that must be there already. */
export function changeKnown<K extends ThingKind>(
  kind: K,
  id: string,
  change: (before: BenchThings[K]) => Change<BenchThings[K]>,
): Effect<K> {
  return { kind, id, change: (before) => (before === undefined ? unknownThing({ kind, id }) : change(before)) };
}

/** Leaves a thing as it is but needs it to be there, and ties the entry to it. */
export function touch<K extends ThingKind>(kind: K, id: string): Effect<K> {
  return changeKnown(kind, id, (state) => ({ state }));
}

/** Brings a thing into being; its id must be new. */
export function create<K extends ThingKind>(kind: K, id: string, make: () => BenchThings[K]): Effect<K> {
  return {
    kind,
    id,
    change: (before) =>
      before === undefined
        ? { state: make() }
        : { impossible: { code: 'id-already-used', thing: { kind, id }, details: { id } } },
  };
}

export function refOf(effect: AnyEffect): ThingRef {
  return { kind: effect.kind, id: effect.id };
}

export function thingKey({ kind, id }: ThingRef): string {
  return `${kind}:${id}`;
}
