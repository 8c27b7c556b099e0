import type { CalendarDay, IsoWeekday } from '../calendar/calendar-day.js';

/**
 * Everything the planner looks at: what a farm has and what it intends, on one day. Plain data, no methods, so that a
 * workbook, a database and a test can each write one. All masses are grams of ripe (wet) spawn.
 */
export interface FarmSituation {
  /** The day the plan is made; nothing is planned before it. */
  readonly asOf: CalendarDay;
  /** How far ahead to plan, in days. 112 (16 weeks) by default at the edges. */
  readonly horizonDays: number;
  readonly rhythm: WorkRhythm;
  readonly strains: readonly StrainProfile[];
  readonly sizes: readonly ContainerSize[];
  readonly stock: readonly StockContainer[];
  readonly runs: readonly BulkRun[];
  readonly rooms: readonly Room[];
  readonly costs: CostRates;
  /** What stands already of an accepted plan. Left out: nothing does. */
  readonly standing?: readonly StandingStart[];
}

/**
 * A start that stands. `prepared`: its grain is done, so it happens as given, takes no cycle and no clean container any
 * more, and may lie on a bench day whose preparation day has passed. `pinned`: a lead wants exactly so many (0: none).
 * `accepted`: part of the accepted plan; another number costs {@link CostRates.perContainerChanged} per container.
 */
export interface StandingStart {
  readonly benchDay: CalendarDay;
  readonly strainId: string;
  readonly generation: number;
  readonly sizeId: string;
  readonly containers: number;
  readonly hold: 'prepared' | 'pinned' | 'accepted';
}

/** When the farm works and how much it can do. */
export interface WorkRhythm {
  /** Weekdays with a bench session. */
  readonly benchWeekdays: readonly IsoWeekday[];
  /** Days without any bench session, whatever the weekday. */
  readonly closedDays: readonly CalendarDay[];
  /** Containers that can be inoculated on one bench day. */
  readonly benchContainersPerDay: number;
  /** Hands-on minutes available on one bench day, or null when only the container count limits. */
  readonly benchMinutesPerDay: number | null;
  readonly benchMinutesPerContainer: number;
  /** Bench days with other minutes than usual: somebody is away, or comes in. Left out: none has. */
  readonly benchMinutesOnDay?: readonly { readonly day: CalendarDay; readonly minutes: number }[];
  /** Places of the pressure vessel or pot, counted in places of the size (see {@link ContainerSize.vesselPlaces}). */
  readonly vesselPlaces: number;
  /** Steriliser cycles on one preparation day. */
  readonly cyclesPerPreparationDay: number;
  /** The preparation day lies this many days before its bench day: grain must be sterile and cooled. */
  readonly preparationLeadDays: number;
  /** An opened container must be used up within this many days. */
  readonly openedLifeDays: number;
  /** Days from emptying a container until it is clean and empty again. */
  readonly washingDays: number;
  /** Days a chilled container stands warm before it is opened. Left out: {@link DEFAULT_WARM_UP_DAYS}. */
  readonly warmUpDays?: number;
}

/** One culture as the planner sees it. Rates are the farm's expected values. */
export interface StrainProfile {
  readonly id: string;
  readonly species: string;
  /** Grams of ripe mother spawn used to inoculate one container of the reference size (the size may scale it). */
  readonly inoculumGramsPerContainer: number;
  /** Days from inoculation to ripe, expected. */
  readonly daysToRipe: number;
  /** Share of started containers expected to be lost before they are ripe, 0 to below 1. */
  readonly lossRate: number;
  /** Days a ripe container stays usable warm. */
  readonly warmLifeDays: number;
  /** Days a ripe container stays usable from the day it is chilled. */
  readonly coldLifeDays: number;
  /** False for strains the cold harms: they are planned without chilling. */
  readonly mayBeChilled: boolean;
  /** The highest generation that may be made. Generation 0 is the culture. */
  readonly lastGeneration: number;
  /** Whole ripe containers to keep as mothers at all times once the farm has them, and at the end of the horizon. */
  readonly motherReserve: number;
  /** How new generation 0 comes to the farm, or null when it cannot. */
  readonly culture: CultureSupply | null;
  /** Days a culture (generation 0) can inoculate after it was made. Left out: {@link DEFAULT_CULTURE_LIFE_DAYS}. */
  readonly cultureLifeDays?: number;
}

/** New generation 0: poured, made or bought. */
export interface CultureSupply {
  /** Days from ordering or starting it until it can inoculate. */
  readonly leadDays: number;
  /** Containers of the reference size that one unit (plate, syringe, bought bag) inoculates. */
  readonly containersPerUnit: number;
  readonly costPerUnit: number;
  /** Units that can be had within the horizon. Left out or null: as many as wanted. */
  readonly unitsAvailable?: number | null;
}

/** A size of container and what one of them means. */
export interface ContainerSize {
  readonly id: string;
  readonly volumeMl: number;
  /** Grams of ripe spawn in a full one. */
  readonly ripeGrams: number;
  /** Multiplies {@link StrainProfile.inoculumGramsPerContainer}. */
  readonly inoculumFactor: number;
  /** Places it takes in the steriliser and on a shelf. */
  readonly vesselPlaces: number;
  readonly shelfPlaces: number;
  /** Clean empty ones on hand on `asOf`, or null when they do not limit. */
  readonly cleanEmpty: number | null;
}

export type ContainerState = 'incubating' | 'ripe' | 'chilled' | 'opened';

/** One container on hand that can still be of use. */
export interface StockContainer {
  readonly code: string;
  readonly strainId: string;
  readonly generation: number;
  readonly sizeId: string;
  readonly state: ContainerState;
  /** Day of inoculation (for generation 0: the day it was made or received). */
  readonly madeOn: CalendarDay;
  /**
   * Day it was seen ripe, or is expected to be; null: made day plus the strain's days to ripe. One that should be ripe
   * by now and has not been seen so is expected on `asOf`.
   */
  readonly ripeOn: CalendarDay | null;
  /** Day it was put into the cold, when it is chilled. */
  readonly chilledOn: CalendarDay | null;
  /** Day it was first opened, when it is opened. */
  readonly openedOn: CalendarDay | null;
  /** Grams in it now; for one still incubating the ripe grams it will have (0: a full container of its size). */
  readonly gramsLeft: number;
  readonly roomId: string | null;
  /** Set aside as a mother: never offered to a run. */
  readonly keptAsMother: boolean;
  /**
   * Probability that it still ends usable: 1 for a ripe one; for an incubating one what its age and looks leave open,
   * null: the strain's loss rate in full.
   */
  readonly survival: number | null;
}

/** One preparation of bulk substrate that needs spawn on a day. */
export interface BulkRun {
  readonly id: string;
  readonly day: CalendarDay;
  /** Strains that may be used; the first is preferred. */
  readonly strainIds: readonly string[];
  /** Below this the run counts as not covered. */
  readonly minGrams: number;
  readonly targetGrams: number;
  /** More than this is never put in. */
  readonly maxGrams: number;
  /** 1 is the most important. */
  readonly priority: number;
  /** The run may be moved this many days later without harm. */
  readonly slackDays: number;
}

export type RoomKind = 'incubation' | 'cold' | 'fruiting' | 'prep';

export interface Room {
  readonly id: string;
  readonly kind: RoomKind;
  /** Shelf places. */
  readonly places: number;
  readonly temperatureC: number | null;
}

/** In the farm's own money. Every rate is per the unit its name says. */
export interface CostRates {
  readonly perContainerStarted: number;
  readonly perCycle: number;
  readonly perGramAgedOut: number;
  /** Per gram below a run's minimum, priority 1; priority p costs 1/p of it. Never less than `perGramBelowTarget`. */
  readonly perGramShort: number;
  /** Per gram between a run's minimum and its target, priority 1; priority p costs 1/p of it. */
  readonly perGramBelowTarget: number;
  /** Per gram that goes to a run, times its generation: prefers younger spawn. */
  readonly perGramGeneration: number;
  /**
   * Per gram and day of age at use: prefers fresh spawn. Counted from the later of the ripe day and `asOf` until it is
   * opened; in the cold store for everything that stands there.
   */
  readonly perGramDayOld: number;
  /** Per container put into the cold (labour). Left out: {@link DEFAULT_COST_PER_CONTAINER_CHILLED}. */
  readonly perContainerChilled?: number;
  /** Per mother container missing from a strain's reserve and day. Left out: {@link DEFAULT_COST_PER_MOTHER_MISSING_DAY}. */
  readonly perMotherMissingDay?: number;
  /** Per gram of a strain that is not the run's first choice, times its place in the list. Left out: 0. */
  readonly perGramSecondChoice?: number;
  /** Per container started more or fewer than accepted. Left out: {@link DEFAULT_COST_PER_CONTAINER_CHANGED}. */
  readonly perContainerChanged?: number;
  /** Preparation days on which one cycle costs something else than `perCycle` (hired help, a tariff). */
  readonly cycleCostOnDay?: readonly { readonly day: CalendarDay; readonly cost: number }[];
}

/** Common practice, no source: a chilled jar stands at room temperature for a day before it is used. */
export const DEFAULT_WARM_UP_DAYS = 1;
/** Common practice, no source: a culture on agar or in a syringe keeps about half a year in the fridge. */
export const DEFAULT_CULTURE_LIFE_DAYS = 180;
/** Our own starting value in the farm's money: a minute of work. */
export const DEFAULT_COST_PER_CONTAINER_CHILLED = 0.1;
/** Our own starting value in the farm's money: losing a strain is dear. */
export const DEFAULT_COST_PER_MOTHER_MISSING_DAY = 2;
/** Our own starting value in the farm's money: a plan that changes every day is a plan nobody trusts. */
export const DEFAULT_COST_PER_CONTAINER_CHANGED = 0.2;
