import type { CalendarDay } from '../calendar/calendar-day.js';

/** What the planner answers. Masses are grams of ripe spawn; containers are whole. */
export interface SpawnPlan {
  readonly asOf: CalendarDay;
  readonly starts: readonly PlannedStart[];
  readonly preparations: readonly PlannedPreparation[];
  readonly cultures: readonly PlannedCulture[];
  readonly moves: readonly PlannedMove[];
  readonly uses: readonly PlannedUse[];
  readonly runs: readonly RunCoverage[];
  readonly stranded: readonly StrandedContainer[];
  /** What the plan throws away: containers that age out, and what is left in opened ones. */
  readonly discards: readonly PlannedDiscard[];
  /** Spans in which a strain has fewer ripe mothers than its reserve asks. */
  readonly reserveGaps: readonly ReserveGap[];
  readonly impossible: readonly Impossibility[];
  /** Cost of this whole-number plan, in the farm's money. */
  readonly cost: number;
  /** The same cost by what it is for; the parts add up to `cost`. */
  readonly costParts: CostParts;
  /** No plan of this model can cost less. */
  readonly bound: number;
  /** (cost − bound) as a share of cost, 0 when both are 0. */
  readonly gap: number;
  /** True when the whole-number optimum was proven. */
  readonly exact: boolean;
}

/** What a plan's cost is for, in the farm's money. */
export interface CostParts {
  readonly containers: number;
  readonly cycles: number;
  readonly cultures: number;
  readonly chilling: number;
  readonly agedOut: number;
  readonly short: number;
  readonly belowTarget: number;
  readonly generation: number;
  readonly age: number;
  readonly secondChoice: number;
  readonly mothersMissing: number;
  /** Containers started more or fewer than accepted. Left out when nothing was accepted. */
  readonly changes?: number;
}

/** Inoculate so many containers on a bench day. */
export interface PlannedStart {
  readonly id: string;
  readonly benchDay: CalendarDay;
  readonly strainId: string;
  readonly generation: number;
  readonly sizeId: string;
  readonly containers: number;
  /** Which mothers give how many grams. A code is a container on hand, or the id of an earlier start or culture. */
  readonly mothers: readonly { readonly code: string; readonly grams: number }[];
  /** What its expected ripe grams are for. */
  readonly feeds: readonly { readonly run: string; readonly grams: number }[];
  /** Grams kept back to inoculate later starts. */
  readonly mothersLaterGrams: number;
  /** Grams kept as the strain's mother reserve at the end of the horizon. */
  readonly reserveGrams: number;
  readonly ripeOn: CalendarDay;
  /** The last bench day on which it could still be started and reach everything it feeds in time. */
  readonly lastSafeDay: CalendarDay;
}

/** Grain work before a bench day. */
export interface PlannedPreparation {
  readonly day: CalendarDay;
  readonly benchDay: CalendarDay;
  readonly cycles: number;
  readonly containers: readonly { readonly sizeId: string; readonly count: number }[];
}

/** Order or start new generation 0. */
export interface PlannedCulture {
  readonly id: string;
  readonly strainId: string;
  readonly orderBy: CalendarDay;
  readonly readyOn: CalendarDay;
  readonly units: number;
}

/** Put into the cold, or take out of it. */
export interface PlannedMove {
  readonly day: CalendarDay;
  readonly kind: 'chill' | 'warm';
  /** Code of a container on hand, or the id of a planned start. */
  readonly from: string;
  readonly containers: number;
}

/** Grams that go from a container (or a planned start) to a run or into new containers. */
export interface PlannedUse {
  readonly day: CalendarDay;
  readonly from: string;
  readonly grams: number;
  readonly to: { readonly kind: 'run'; readonly run: string } | { readonly kind: 'start'; readonly start: string };
  readonly cold: boolean;
  /** Containers opened for this use; 0 when the grams come from containers that are open already, or from a culture. */
  readonly opened: number;
  /** Day the container is opened (a culture is drawn from unopened: the day of use). */
  readonly openedOn: CalendarDay;
}

/** Grams thrown away: containers too old to use, or the rest of opened ones (`containers` 0). */
export interface PlannedDiscard {
  readonly day: CalendarDay;
  readonly from: string;
  readonly containers: number;
  readonly grams: number;
}

/** From `from` until before `until` the strain lacks so many ripe mother containers. */
export interface ReserveGap {
  readonly strainId: string;
  readonly from: CalendarDay;
  readonly until: CalendarDay;
  readonly missing: number;
}

export type LimitKind =
  | 'time'
  | 'mothers'
  | 'generation'
  | 'bench'
  | 'steriliser'
  | 'incubation-places'
  | 'cold-places'
  | 'clean-containers'
  | 'storage-life'
  | 'culture'
  | 'cost';

/** What keeps a run from its target, and the smallest thing that would lift it. */
export interface BindingLimit {
  readonly kind: LimitKind;
  /** The bench day, room or size where it binds, when there is one. */
  readonly where: string | null;
  /** English, for logs and the command line; screens build their own sentence from kind and where. */
  readonly message: string;
}

export interface RunCoverage {
  readonly run: string;
  readonly day: CalendarDay;
  readonly strainId: string;
  readonly minGrams: number;
  readonly targetGrams: number;
  readonly coveredGrams: number;
  /** Probability that it is covered, when chance was simulated. */
  readonly probability: number | null;
  readonly limit: BindingLimit | null;
}

/** Stock that no use in the plan reaches before it is too old. */
export interface StrandedContainer {
  readonly code: string;
  readonly grams: number;
  readonly expires: CalendarDay;
}

/** Something in the situation that no plan can honour; the rest is planned all the same. */
export interface Impossibility {
  readonly code: string;
  readonly subject: string;
  readonly message: string;
}
