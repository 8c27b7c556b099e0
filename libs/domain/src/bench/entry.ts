import type { CalendarDay } from '../calendar/calendar-day.js';

/** A place on a shelf; row and place count from 1, and are left out where the shelf has none. */
export interface ShelfPlace {
  readonly shelfId: string;
  readonly row?: number | undefined;
  readonly place?: number | undefined;
}

/** How much was taken, the way a gloved person can say it. Only `grams` is a measurement. */
export type DrawAmount =
  | { readonly by: 'grams'; readonly massG: number }
  | { readonly by: 'half' }
  | { readonly by: 'all_but_bottom' }
  | { readonly by: 'all' };

export interface Draw {
  readonly jarId: string;
  readonly amount: DrawAmount;
}

export type ContainerForm = 'jar' | 'bag' | 'bottle' | 'plate' | 'syringe' | 'slant';
export type Carrier = 'grain' | 'sawdust' | 'plugs' | 'agar' | 'liquid';
export type SterilisingMethod = 'pressure' | 'boiling_water_steam' | 'two_day_steam' | 'ready_bought';
export type FindingKind =
  | 'green_mould'
  | 'black_mould'
  | 'orange_mould'
  | 'cobweb'
  | 'bacteria'
  | 'yeast'
  | 'other'
  | 'unknown';
export type Vigour = 'strong' | 'usual' | 'slow' | 'stalled';
/** What was done about a refused entry: less was taken, it was another jar, it was sent anew, or it never counted. */
export type SettlementWay = 'take_what_is_left' | 'take_another_jar' | 'try_again' | 'drop';
export type DiscardReason = 'contaminated' | 'aged_out' | 'stalled' | 'surplus' | 'other';

/** Containers of one size, counted: before inoculation nobody tells one filled jar from the next. */
export interface SizeCount {
  readonly sizeId: string;
  readonly count: number;
}

/** A container that comes into being with a lot. */
export interface NewJar {
  readonly id: string;
  /** Two-digit serial on the label; without one, its order in the entry. */
  readonly serial?: number | undefined;
  /** Measured grams of ripe spawn it holds, when someone weighed it. */
  readonly massG?: number | undefined;
  readonly place?: ShelfPlace | undefined;
}

/** A container that comes from outside, or was here before the log began. */
export interface ReceivedJar extends NewJar {
  /** The name already written on it. */
  readonly code?: string | undefined;
  /** Null: it came unripe. Without it, it counts as ripe from the day it came. */
  readonly ripeOn?: CalendarDay | null | undefined;
  readonly chilledOn?: CalendarDay | undefined;
}

interface NewLot {
  readonly lotId: string;
  /** The code the tablet printed; without one, or when it is taken, the server gives the next free one. */
  readonly code?: string | undefined;
  readonly sizeId: string;
}

interface GrainStep {
  readonly grainBatchId: string;
  /** Named by the first entry of a batch, whichever step a farm begins to log with. */
  readonly grain?: string | undefined;
  readonly dryGrainG?: number | undefined;
}

interface CycleReading {
  readonly cycleId: string;
  readonly temperatureC?: number | undefined;
  readonly gaugePressureKpa?: number | undefined;
  /** The boil or the pressure was lost since the hold began: the log keeps it, and the cycle is judged by it. */
  readonly boilLost?: boolean | undefined;
}

interface Jars {
  readonly jarIds: readonly string[];
}

/** What each kind of entry says. The one list of kinds; everything else is checked against it. */
export interface EntryPayloads {
  readonly grain_soaked: GrainStep & { readonly waterG?: number | undefined };
  readonly grain_simmered: GrainStep & { readonly simmerMin?: number | undefined };
  readonly grain_drained: GrainStep;
  readonly grain_rested: GrainStep & {
    readonly hydratedG?: number | undefined;
    readonly moistureShare?: number | undefined;
  };
  readonly grain_filled: GrainStep & {
    readonly fills: readonly SizeCount[];
    readonly hydratedG?: number | undefined;
    readonly moistureShare?: number | undefined;
  };
  readonly cycle_started: {
    readonly cycleId: string;
    readonly method: SterilisingMethod;
    readonly steriliser?: string | undefined;
    readonly loads: readonly (SizeCount & { readonly grainBatchId?: string | undefined })[];
  };
  readonly cycle_held: CycleReading;
  readonly cycle_ended: CycleReading & { readonly holdMin?: number | undefined };
  readonly cycle_cooled: { readonly cycleId: string; readonly temperatureC?: number | undefined };
  readonly culture_made: NewLot & {
    readonly strainId: string;
    readonly container: ContainerForm;
    readonly carrier: Carrier;
    readonly fromJarId?: string | undefined;
    readonly jars: readonly NewJar[];
  };
  readonly received: NewLot & {
    readonly strainId: string;
    readonly generation: number;
    readonly container: ContainerForm;
    readonly carrier: Carrier;
    readonly supplier?: string | undefined;
    readonly madeOn?: CalendarDay | undefined;
    readonly jars: readonly ReceivedJar[];
  };
  readonly inoculated: NewLot & {
    readonly strainId: string;
    readonly container?: ContainerForm | undefined;
    readonly carrier?: Carrier | undefined;
    readonly grainBatchId?: string | undefined;
    readonly cycleId?: string | undefined;
    readonly mothers: readonly Draw[];
    readonly jars: readonly (NewJar & { readonly motherJarId?: string | undefined })[];
  };
  readonly blanks_kept: NewLot & {
    readonly cycleId?: string | undefined;
    readonly grainBatchId?: string | undefined;
    readonly jars: readonly NewJar[];
  };
  readonly checked: {
    readonly jars: readonly {
      readonly jarId: string;
      /** Share of the grain grown through, 0 to 1. */
      readonly colonisedShare?: number | undefined;
      readonly ripe?: boolean | undefined;
      readonly vigour?: Vigour | undefined;
      /** Spawn in the container on the scale, without the glass. */
      readonly netG?: number | undefined;
    }[];
  };
  readonly contamination_found: Jars & { readonly finding: FindingKind; readonly sure: boolean };
  readonly shaken: Jars;
  readonly moved: { readonly moves: readonly { readonly jarId: string; readonly place: ShelfPlace }[] };
  readonly chilled: Jars & { readonly place?: ShelfPlace | undefined };
  readonly warmed: Jars & { readonly place?: ShelfPlace | undefined };
  readonly mother_kept: Jars;
  readonly mother_released: Jars;
  readonly opened: Jars;
  readonly drawn_for_jars: { readonly lotId: string; readonly draws: readonly Draw[] };
  readonly drawn_for_run: { readonly runId: string; readonly draws: readonly Draw[] };
  readonly emptied: Jars;
  readonly washed: SizeCount;
  readonly containers_counted: { readonly sizeId: string; readonly cleanEmpty: number };
  readonly broken: Jars;
  readonly discarded: Jars & { readonly reason: DiscardReason };
  readonly regrowth_tested: { readonly jarId: string; readonly days: number; readonly regrew: boolean };
  readonly harvested: { readonly runId: string; readonly flush: number; readonly massG: number };
  readonly noted: {
    readonly text: string;
    readonly jarIds?: readonly string[] | undefined;
    readonly lotId?: string | undefined;
  };
  /** How a refused entry was settled, so that nobody needs to look at it again. Changes no jar by itself. */
  readonly settled: {
    readonly entryId: string;
    readonly way: SettlementWay;
    /** The entry that was recorded in its place. */
    readonly newEntryId?: string | undefined;
  };
  readonly corrected: { readonly entryId: string; readonly reason: string };
}

export type EntryKind = keyof EntryPayloads;

/** One entry of one kind, with the moment it counts for already settled (see `effectiveMoment`). */
export interface EntryOf<K extends EntryKind> {
  readonly id: string;
  readonly kind: K;
  readonly payload: EntryPayloads[K];
  /** Who did it: an opaque id, never a name. */
  readonly staffId: string;
  /** Milliseconds since 1970-01-01T00:00Z. */
  readonly atMs: number;
  /** The farm's calendar day of that moment. */
  readonly day: CalendarDay;
}

/** Anything that can stand in the bench log. */
export type BenchEntry = { [K in EntryKind]: EntryOf<K> }[EntryKind];

/** An entry that changes a thing, as opposed to one that voids another entry. */
export type ActionEntry = Exclude<BenchEntry, { kind: 'corrected' }>;
