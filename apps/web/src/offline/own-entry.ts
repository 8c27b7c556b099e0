import type { BenchEntry, EntryKind, EntryPayloads, ThingAfter } from '@jarfold/domain';

/** What a person does at the bench, before it has an id, a moment and a number. */
export type BenchAction = { [K in EntryKind]: { readonly kind: K; readonly payload: EntryPayloads[K] } }[EntryKind];

/**
 * How far an entry of this tablet has come: `unsent` is kept here alone; `applied` and `refused` are the server's answer;
 * `unsendable` means the server would not even read it, so it stands here to be looked at and is not in the farm's log.
 */
export type OwnState = 'unsent' | 'applied' | 'refused' | 'unsendable';

/** An entry made on this tablet, as it is stored. Kept until the server has it and the view of the farm includes it. */
export interface OwnEntry {
  readonly id: string;
  /** The device's own count, 1, 2, 3 … without gaps. */
  readonly sequence: number;
  /** The tablet's clock, ISO 8601, exactly as it is sent: the same text again is the same entry. */
  readonly happenedAt: string;
  readonly staffId: string;
  readonly kind: EntryKind;
  readonly payload: Readonly<Record<string, unknown>>;
  /** The moment it counts for here, milliseconds; the server settles its own. */
  readonly atMs: number;
  readonly day: BenchEntry['day'];
  readonly state: OwnState;
  /** Where it stands in the farm's log, once applied or refused. */
  readonly position: number | null;
  readonly refusal: Refused | null;
  /** A person has seen the refusal and put it away. */
  readonly settled: boolean;
  /** The things it touched as they were before and after it, to take it back offline. Dropped when it grows old. */
  readonly images: readonly ThingImage[];
}

export interface Refused {
  readonly reason: string;
  /** In English, from the server; shown as it is. */
  readonly message: string;
}

export interface ThingImage {
  readonly kind: ThingAfter['kind'];
  readonly id: string;
  /** Null: there was no such thing. */
  readonly before: ThingAfter['state'];
  readonly after: ThingAfter['state'];
}

/** An entry that waits for its number. */
export type NewOwnEntry = Omit<OwnEntry, 'sequence'>;

/** The entry as the rules read it. */
export function benchEntryOf(own: NewOwnEntry): BenchEntry {
  const { id, kind, payload, staffId, atMs, day } = own;
  return { id, kind, payload, staffId, atMs, day } as unknown as BenchEntry;
}
