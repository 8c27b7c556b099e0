import type { CalendarDay } from '../calendar/calendar-day.js';
import type { Carrier, ContainerForm, FindingKind, ShelfPlace, SizeCount, SterilisingMethod } from './entry.js';

/** One container of spawn, from the day it was made to the day it was gone. Masses in grams, steps of 0.1 g. */
export interface Jar {
  readonly id: string;
  readonly lotId: string;
  readonly serial: number;
  readonly code: string;
  /** Null for a blank, which holds no culture. */
  readonly strainId: string | null;
  readonly generation: number | null;
  readonly sizeId: string;
  /** Sterilised with the load and never inoculated, to tell grain and steriliser faults from hands and mothers. */
  readonly blank: boolean;
  readonly motherJarId: string | null;
  readonly madeAtMs: number;
  readonly madeOn: CalendarDay;
  /** made = drawn + left + discarded, always. */
  readonly madeG: number;
  readonly drawnG: number;
  readonly leftG: number;
  readonly discardedG: number;
  /** True until someone weighs it: the mass then is what its size usually gives. */
  readonly madeGEstimated: boolean;
  readonly colonisedShare: number | null;
  readonly colonisedAtMs: number | null;
  readonly ripeOn: CalendarDay | null;
  /** Set while it stands in the cold. */
  readonly chilledOn: CalendarDay | null;
  readonly warmedOn: CalendarDay | null;
  readonly coldChangedAtMs: number | null;
  readonly openedOn: CalendarDay | null;
  readonly keptAsMother: boolean;
  readonly motherChangedAtMs: number | null;
  readonly contaminatedOn: CalendarDay | null;
  readonly finding: FindingKind | null;
  readonly findingSure: boolean | null;
  readonly shakenOn: CalendarDay | null;
  readonly shakes: number;
  readonly regrowthOn: CalendarDay | null;
  readonly regrowthDays: number | null;
  readonly regrew: boolean | null;
  readonly place: ShelfPlace | null;
  readonly placedAtMs: number | null;
  readonly goneAtMs: number | null;
  readonly goneOn: CalendarDay | null;
  readonly goneAs: GoneAs | null;
}

export type GoneAs = 'emptied' | 'discarded' | 'broken';

/** Containers made together: one strain, grain batch, steriliser cycle and day. */
export interface Lot {
  readonly id: string;
  readonly code: string;
  readonly origin: LotOrigin;
  readonly strainId: string | null;
  readonly generation: number | null;
  readonly sizeId: string;
  readonly container: ContainerForm;
  readonly carrier: Carrier;
  readonly grainBatchId: string | null;
  readonly cycleId: string | null;
  readonly madeOn: CalendarDay;
  readonly madeBy: string;
  readonly jarsMade: number;
  readonly supplier: string | null;
}

export type LotOrigin = 'culture' | 'received' | 'inoculated' | 'blank';

export const GRAIN_STEPS = ['soaked', 'simmered', 'drained', 'rested', 'filled'] as const;
export type GrainStepName = (typeof GRAIN_STEPS)[number];

/** Grain prepared in one go, with the moment of each step it has been through. */
export interface LoggedGrainBatch {
  readonly id: string;
  readonly code: string;
  readonly grain: string;
  readonly begunOn: CalendarDay;
  readonly dryGrainG: number | null;
  readonly hydratedG: number | null;
  /** Water over total mass (wet basis), 0 to 1. */
  readonly moistureShare: number | null;
  readonly stepAtMs: Readonly<Partial<Record<GrainStepName, number>>>;
  readonly filled: readonly SizeCount[];
  /** How many of the filled ones went into a steriliser. */
  readonly loaded: readonly SizeCount[];
}

/** One run of the steriliser. */
export interface SteriliserCycle {
  readonly id: string;
  readonly code: string;
  readonly method: SterilisingMethod;
  readonly steriliser: string | null;
  readonly loads: readonly SizeCount[];
  /** How many of the load were inoculated or kept as blanks. */
  readonly used: readonly SizeCount[];
  readonly startedAtMs: number;
  readonly startedOn: CalendarDay;
  readonly heldAtMs: number | null;
  readonly endedAtMs: number | null;
  readonly cooledAtMs: number | null;
  readonly holdMin: number | null;
  readonly temperatureC: number | null;
  readonly gaugePressureKpa: number | null;
}

/** Clean empty containers of one size; null until the farm has counted them once. */
export interface ContainerPool {
  readonly id: string;
  readonly cleanEmpty: number | null;
}

/** One weighing of mushrooms picked from a bulk run. */
export interface Harvest {
  readonly id: string;
  readonly runId: string;
  readonly flush: number;
  readonly massG: number;
  readonly harvestedOn: CalendarDay;
}

/** Everything the log keeps a current state of, by kind. A pool's id is its size's, a harvest's id its entry's. */
export interface BenchThings {
  readonly jar: Jar;
  readonly lot: Lot;
  readonly grainBatch: LoggedGrainBatch;
  readonly cycle: SteriliserCycle;
  readonly pool: ContainerPool;
  readonly harvest: Harvest;
}

export type ThingKind = keyof BenchThings;

export interface ThingRef {
  readonly kind: ThingKind;
  readonly id: string;
}

export type JarState = 'incubating' | 'ripe' | 'chilled' | 'opened' | GoneAs;

/** The one word for a jar's state; what it is gone as outranks opened, opened outranks chilled, chilled outranks ripe. */
export function jarState(jar: Jar): JarState {
  if (jar.goneAs) return jar.goneAs;
  if (jar.openedOn) return 'opened';
  if (jar.chilledOn) return 'chilled';
  return jar.ripeOn ? 'ripe' : 'incubating';
}
