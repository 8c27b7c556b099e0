import type { FarmSituation } from '../planning/situation.js';

/** Containers a policy wants started on a bench day of the week; days count from the first day of the season. */
export interface WantedStart {
  readonly day: number;
  readonly strainId: string;
  readonly sizeId: string;
  readonly containers: number;
  /** The generation to make; null: as the mothers on hand allow, sparing the young ones. */
  readonly generation: number | null;
}

export interface WeekDecision {
  readonly starts: readonly WantedStart[];
  readonly cultures: readonly { readonly strainId: string; readonly units: number }[];
  /** Grams a run of the week is given at most; its target when a run is not named. */
  readonly gramsForRun: ReadonlyMap<string, number>;
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
