import type { AcceptedRun, AcceptedSituation } from './accepted-situation.js';
import type { LinearProgramme } from './linear-programme.js';
import type { Pool } from './pools.js';
import type { StartOption } from './start-options.js';
import type { BenchSlot } from './timeline.js';

/** No column: the thing cannot happen. */
export const NONE = -1;

/** The planner's programme together with what each column means, so that a solution can be read back. */
export interface SpawnModel {
  readonly situation: AcceptedSituation;
  readonly slots: readonly BenchSlot[];
  readonly programme: LinearProgramme;
  readonly starts: readonly StartVariable[];
  readonly cycles: readonly CycleVariable[];
  readonly pools: readonly PoolVariables[];
  readonly buckets: readonly Bucket[];
  readonly uses: readonly UseVariable[];
  readonly cultures: readonly CultureVariables[];
  readonly runs: readonly RunVariables[];
  readonly reserves: readonly ReserveVariable[];
  readonly limits: readonly LimitRow[];
  readonly inoculumRows: readonly InoculumRow[];
}

/** Balance of the inoculum for the starts of one strain and generation on a slot. */
export interface InoculumRow {
  readonly row: number;
  readonly strain: number;
  /** Generation of the children. */
  readonly generation: number;
  readonly day: number;
}

export interface StartVariable extends StartOption {
  readonly column: number;
}

/** Steriliser cycles for one bench slot. */
export interface CycleVariable {
  readonly slot: BenchSlot;
  readonly column: number;
  readonly cost: number;
}

/** Whole containers opened on a day, their grams poured into a bucket. */
export interface Opening {
  readonly column: number;
  readonly day: number;
  readonly cold: boolean;
  readonly bucket: number;
  /** Place of the batch it is taken from, NONE in the cold queue. */
  readonly batch: number;
}

/** Whole containers put into the cold on a day. */
export interface Chilling {
  readonly column: number;
  readonly day: number;
  readonly batch: number;
}

/** Containers thrown away on a day because they are too old. */
export interface Discarding {
  readonly column: number;
  readonly day: number;
  readonly cold: boolean;
}

/** So many containers, as the column counts, stand ripe on a shelf from a day until before another. */
export interface Stay {
  readonly column: number;
  readonly from: number;
  readonly to: number;
}

/** Containers of a pool that are ripe on one day. */
export interface BatchVariable {
  readonly from: number;
  readonly until: number;
  /** Containers of it that are on hand. */
  readonly onHand: number;
  /** Columns of the starts that end up in it. */
  readonly startColumns: readonly number[];
  /** Containers that are neither opened nor chilled in their warm life. */
  readonly outlive: number;
  /** Day they are thrown away, or null when they are good to the end of the horizon. */
  readonly discardDay: number | null;
}

/** A day on which the cold queue is counted. */
export interface ColdDay {
  readonly day: number;
  readonly left: number;
  readonly waste: number;
}

/** Containers that come into the cold queue: by a chilling column, or on hand (NONE). */
export interface ColdArrival {
  readonly column: number;
  readonly from: number;
  readonly until: number;
  /** The first cold day on which it counts and can be opened. */
  readonly event: number;
}

export interface PoolVariables extends Pool {
  readonly coldDays: readonly ColdDay[];
  readonly coldArrivals: readonly ColdArrival[];
  readonly batches: readonly BatchVariable[];
  readonly openings: readonly Opening[];
  readonly chillings: readonly Chilling[];
  readonly discardings: readonly Discarding[];
  readonly warmStays: readonly Stay[];
  readonly coldStays: readonly Stay[];
}

/** Grams of one strain and generation that stand open from a day on. */
export interface Bucket {
  readonly index: number;
  readonly strain: number;
  readonly generation: number;
  readonly motherOnly: boolean;
  readonly day: number;
  /** Last day its grams may be used. */
  readonly until: number;
  /** Balance: grams opened = grams used + grams thrown away. */
  readonly row: number;
  readonly waste: number;
  /** Codes of containers that were open on the planning day; their grams are there from the start. */
  readonly openedStock: readonly { readonly code: string; readonly grams: number }[];
}

/** Grams from a bucket, or from generation 0, to a run or to the containers started on a slot. */
export interface UseVariable {
  readonly column: number;
  readonly bucket: number;
  readonly day: number;
  readonly to:
    | { readonly kind: 'run'; readonly run: number; readonly choice: number }
    | { readonly kind: 'start'; readonly slot: number };
}

/** Generation 0 of one strain: what is on hand and what may be ordered, drawn in part by starts of generation 1. */
export interface CultureVariables {
  readonly strain: number;
  readonly orders: readonly { readonly column: number; readonly slot: BenchSlot; readonly gramsPerUnit: number }[];
}

/** One way a run can take place. */
export interface RunChoice {
  readonly strain: number;
  readonly day: number;
  /** Whole 0/1 column, or NONE when the run has only one choice. */
  readonly chosen: number;
}

export interface RunVariables {
  readonly run: AcceptedRun;
  readonly choices: readonly RunChoice[];
  readonly short: number;
  readonly belowTarget: number;
  readonly coverRow: number;
}

/** Mothers a strain lacks from one handling day until the next. */
export interface ReserveVariable {
  readonly strain: number;
  readonly day: number;
  readonly until: number;
  readonly required: number;
  readonly missing: number;
}

/** A limit of the farm that may bind, for explanations. */
export interface LimitRow {
  readonly row: number;
  readonly kind: 'bench' | 'steriliser' | 'incubation-places' | 'cold-places' | 'clean-containers' | 'culture';
  readonly day: number;
  /** Room kind, size or strain it is about. */
  readonly subject: string;
  readonly capacity: number;
}
