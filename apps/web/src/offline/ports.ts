import type { BenchBatch, BenchBatchAnswer } from '@jarfold/contracts';
import type { BenchPicture, ChangesSince, FarmFacts } from './farm-facts.js';
import type { NewOwnEntry, OwnEntry } from './own-entry.js';
import type { AnyThing, ThingKeyed } from './thing-shelf.js';

/**
 * Everything the offline core asks of the world. In a browser these are the clock, IndexedDB, fetch and Web Locks; in a
 * test they are virtual, so that years of bad luck pass in a second and the same seed gives the same run.
 */
export interface CorePorts {
  readonly clock: { nowMs(): number };
  readonly random: { uuid(): string /** From 0 to below 1. */; fraction(): number };
  readonly schedule: { after(delayMs: number, run: () => void): () => void };
  readonly lock: LockPort;
  readonly net: NetPort;
  readonly store: StorePort;
  /** Told of faults nobody expected, such as a store that failed; the core tries again by itself. */
  readonly report?: (fault: unknown) => void;
}

export interface LockPort {
  /** Runs the work while nobody else holds the name; answers `held` at once when somebody does. */
  tryHold<T>(name: string, work: () => Promise<T>): Promise<T | 'held'>;
}

/**
 * What came back of a request. `unreachable`: nothing, or nothing readable; whether the server did it is not known.
 * `busy`: it asked to come back later. `problem`: it said no and will say no again.
 */
export type NetAnswer<T> =
  | { readonly kind: 'ok'; readonly body: T }
  | { readonly kind: 'sign-in' }
  | { readonly kind: 'unreachable' }
  | { readonly kind: 'busy'; readonly afterMs: number }
  | { readonly kind: 'problem'; readonly status: number; readonly code: string; readonly detail: string };

export interface NetPort {
  send(batch: BenchBatch): Promise<NetAnswer<BenchBatchAnswer>>;
  changes(after: number): Promise<NetAnswer<ChangesSince>>;
  snapshot(): Promise<NetAnswer<BenchPicture>>;
  /** The farm's settings and jobs alone; null when they are as `known` named them. Without it they come with the picture. */
  facts?(known: string | null): Promise<NetAnswer<{ readonly farm: FarmFacts; readonly name: string | null } | null>>;
}

export interface DeviceFacts {
  readonly id: string;
  /** The number the next entry gets. */
  readonly nextSequence: number;
  /** The id was given by an enrolment: this tablet may send under no other. */
  readonly enrolled?: boolean;
}

/** What is in the store when the tablet starts. */
export interface StoredBench {
  readonly device: DeviceFacts | null;
  readonly clockOffsetMs: number;
  /** Position of the farm's log that the stored things stand at; null before the first picture. */
  readonly cursor: number | null;
  readonly farm: FarmFacts | null;
  readonly things: readonly AnyThing[];
  /** In the order of their numbers. */
  readonly own: readonly OwnEntry[];
}

/** One change of the store: all of it or nothing. */
export interface StoreChange {
  readonly device?: DeviceFacts;
  readonly clockOffsetMs?: number;
  readonly putOwn?: readonly OwnEntry[];
  readonly dropOwn?: readonly string[];
  readonly cursor?: number | null;
  readonly farm?: FarmFacts | null;
  /** Forget all things first. */
  readonly clearThings?: boolean;
  readonly putThings?: readonly AnyThing[];
  readonly dropThings?: readonly ThingKeyed[];
}

export interface StorePort {
  load(): Promise<StoredBench>;
  /** Who this tablet is and what number comes next, as stored now: tells whether another window has added entries. */
  device(): Promise<DeviceFacts | null>;
  /** This tablet's entries as they are stored now, other windows' included. */
  own(): Promise<{ readonly device: DeviceFacts | null; readonly own: readonly OwnEntry[] }>;
  /**
   * Gives entries the device's next numbers and stores both. It resolves only when they will survive the loss of power,
   * as far as the platform can promise that. Nothing is stored when it rejects.
   */
  append(entries: readonly NewOwnEntry[]): Promise<readonly OwnEntry[]>;
  commit(change: StoreChange): Promise<void>;
}
