import type { FarmSituation } from '../planning/situation.js';

/** Containers a policy wants started on a bench day of the week; days count from the first day of the season. */
export interface WantedStart {
  readonly day: number;
  readonly strainId: string;
  readonly sizeId: string;
  readonly containers: number;
  /** The generation to make; null: as the mothers on hand allow, sparing the young ones. */
  readonly generation: number | null;
  /** Containers to inoculate it from first, by code; none when left out. */
  readonly mothers?: readonly string[];
}

/** Into the cold, out of it, or opened ahead of use while it still keeps. */
export interface HandlingMove {
  readonly day: number;
  readonly kind: 'chill' | 'warm' | 'open';
  readonly code: string;
}

/** Containers by code. Those in the cold that are not taken out ahead of use can be used all the same. */
export interface Handling {
  readonly moves: readonly HandlingMove[];
  /** Used warm within the week, until which day of the season: they are not chilled before. */
  readonly usedWarm: ReadonlyMap<string, number>;
}

export interface WeekDecision {
  readonly starts: readonly WantedStart[];
  readonly cultures: readonly { readonly strainId: string; readonly units: number }[];
  /** Grams a run of the week is given at most; its target when a run is not named. */
  readonly gramsForRun: ReadonlyMap<string, number>;
  /** Unopened containers runs must leave for mothering, by code; null: the youngest, as many as each strain's reserve. */
  readonly kept: ReadonlySet<string> | null;
  /** What goes into the cold and comes out of it; null: a careful farm's own way. */
  readonly handling: Handling | null;
  /** What the policy says of how likely runs are covered; empty for those that say nothing. */
  readonly stated: readonly { readonly run: string; readonly probability: number }[];
}

/** One morning of a season: what the farm sees, and which day it is. */
export interface Morning {
  readonly seen: FarmSituation;
  readonly day: number;
  /** Bench days of the coming week for which grain can still be made. */
  readonly benchDays: readonly number[];
}

/** Decides once a week, from what a farm would see and from nothing else. */
export interface Policy {
  readonly name: string;
  decide(morning: Morning): Promise<WeekDecision> | WeekDecision;
}
