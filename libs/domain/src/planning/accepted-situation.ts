import type { CalendarDay } from '../calendar/calendar-day.js';
import type { Impossibility, StrandedContainer } from './plan.js';
import type { CostRates, CultureSupply } from './situation.js';

/**
 * A situation the planner can count with: days are whole numbers from `asOf` (day 0), names are places in lists, defaults
 * are filled in, and what no plan can honour has been set aside with its reason.
 */
export interface AcceptedSituation {
  readonly asOf: CalendarDay;
  readonly horizon: number;
  readonly rhythm: AcceptedRhythm;
  readonly strains: readonly AcceptedStrain[];
  readonly sizes: readonly AcceptedSize[];
  readonly containers: readonly AcceptedContainer[];
  readonly runs: readonly AcceptedRun[];
  /** Runs that cannot be planned at all (past, beyond the horizon, no known strain). */
  readonly unplannedRuns: readonly UnplannedRun[];
  /** Infinity when the farm names no incubation room. */
  readonly incubationPlaces: number;
  readonly coldPlaces: number;
  readonly costs: AcceptedCosts;
  readonly standing: AcceptedStanding;
  readonly impossible: readonly Impossibility[];
  /** Containers on hand that are too old already. */
  readonly expired: readonly StrandedContainer[];
}

/** The starts that stand, by what is started. */
export interface AcceptedStanding {
  readonly starts: readonly AcceptedStandingStart[];
  /** Up to this day a start that is not accepted is a change; -1 when nothing was accepted. */
  readonly until: number;
  /** Only what stands is started. */
  readonly nothingElse: boolean;
}

export interface AcceptedStandingStart {
  readonly strain: number;
  readonly generation: number;
  readonly size: number;
  readonly benchDay: number;
  /** Containers whose grain is done. */
  readonly prepared: number;
  /** Fewer than this are never started. */
  readonly fewest: number;
  /** More than this are never started; Infinity when that is open. */
  readonly most: number;
  /** Containers accepted, whatever holds them. */
  readonly accepted: number;
}

export interface AcceptedRhythm {
  readonly isBenchWeekday: readonly boolean[];
  readonly closedDays: ReadonlySet<number>;
  readonly containersPerBenchDay: number;
  /** Of days on which the bench takes another number, by days from the planning day. */
  readonly containersOnDay: ReadonlyMap<number, number>;
  readonly vesselPlaces: number;
  readonly cyclesPerPreparationDay: number;
  readonly preparationLeadDays: number;
  readonly openedLifeDays: number;
  readonly washingDays: number;
  readonly warmUpDays: number;
}

/** Containers the bench takes on a day, counted from the planning day. */
export function containersOn(
  { containersPerBenchDay, containersOnDay }: Pick<AcceptedRhythm, 'containersPerBenchDay' | 'containersOnDay'>,
  day: number,
): number {
  return containersOnDay.get(day) ?? containersPerBenchDay;
}

export interface AcceptedStrain {
  readonly index: number;
  readonly id: string;
  readonly daysToRipe: number;
  /** Share of started containers expected to end ripe. */
  readonly survival: number;
  readonly warmLifeDays: number;
  readonly coldLifeDays: number;
  readonly mayBeChilled: boolean;
  readonly lastGeneration: number;
  readonly motherReserve: number;
  readonly inoculumGrams: number;
  readonly culture: CultureSupply | null;
  readonly cultureLifeDays: number;
}

export interface AcceptedSize {
  readonly index: number;
  readonly id: string;
  readonly ripeGrams: number;
  readonly inoculumFactor: number;
  readonly shelfPlaces: number;
  readonly vesselPlaces: number;
  /** Containers of this size in one cycle that holds nothing else; 0 when none fits. */
  readonly perCycle: number;
  readonly cleanEmpty: number | null;
}

/** One container on hand, with the window in which it can be used. */
export interface AcceptedContainer {
  readonly code: string;
  readonly strain: number;
  readonly generation: number;
  readonly size: number;
  readonly kind: 'culture' | 'warm' | 'cold' | 'opened';
  /** First day it can be used: the ripe day, day 0 for what is ripe already. */
  readonly from: number;
  /** Last day it can be used where it stands. */
  readonly until: number;
  /** Expected usable grams. */
  readonly grams: number;
  readonly keptAsMother: boolean;
  readonly incubating: boolean;
}

export interface AcceptedRun {
  readonly index: number;
  readonly id: string;
  readonly day: number;
  readonly lastDay: number;
  readonly strains: readonly number[];
  readonly minGrams: number;
  readonly targetGrams: number;
  readonly maxGrams: number;
  /** 1 for priority 1, 1/p for priority p. */
  readonly weight: number;
}

export interface UnplannedRun {
  readonly id: string;
  readonly day: CalendarDay;
  readonly strainId: string;
  readonly minGrams: number;
  readonly targetGrams: number;
  readonly reason: string;
}

export type AcceptedCosts = Omit<CostRates, 'cycleCostOnDay'> &
  Required<
    Pick<CostRates, 'perContainerChilled' | 'perMotherMissingDay' | 'perGramSecondChoice' | 'perContainerChanged'>
  > & {
    readonly cycleCostOnDay: ReadonlyMap<number, number>;
  };
