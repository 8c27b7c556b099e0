import type { BenchSnapshot } from '@jarfold/contracts';
import type { BenchThings, ThingKind } from '@jarfold/domain';
import type { AnyThing, ThingKeyed } from './thing-shelf.js';

/** What a tablet knows about the farm beside its jars. Comes with the picture and is replaced whole. */
export type FarmFacts = Omit<BenchSnapshot, 'things' | 'position'>;

export type StrainFacts = FarmFacts['strains'][number];
export type SizeFacts = FarmFacts['sizes'][number];
export type RoomFacts = FarmFacts['rooms'][number];
export type ShelfFacts = FarmFacts['shelves'][number];
export type RunFacts = FarmFacts['runs'][number];
export type OrderFacts = NonNullable<RunFacts['order']>;
export type StaffFacts = FarmFacts['staff'][number];
export type BenchJob = FarmFacts['jobs']['jobs'][number];

/** The farm's bench at one position of its log, whole. */
export interface BenchPicture {
  readonly position: number;
  readonly farm: FarmFacts;
  readonly things: readonly AnyThing[];
}

/** A thing as it stands now; null when it is not (or no longer) there. */
export type ThingNow = ThingKeyed & { readonly state: BenchThings[ThingKind] | null };

/** Everything that entries after a position touched, as it stands at the new position. */
export interface ChangesSince {
  readonly position: number;
  /** Too far behind, or ahead of the log: ask for the whole picture. */
  readonly tooOld: boolean;
  readonly things: readonly ThingNow[];
}
