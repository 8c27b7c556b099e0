import type { CalendarDay } from '../calendar/calendar-day.js';
import type { FileUnits } from './file-units.js';
import type { RunCells } from './run-cells.js';

/**
 * What a weekly workbook says, as plain rows in canonical units: gathered from a database on one side, written as sheets
 * on the other.
 */
export interface WeeklyBook {
  readonly growerId: string;
  readonly farmName: string;
  readonly exportId: string;
  /** ISO 8601, UTC. */
  readonly madeAt: string;
  readonly asOf: CalendarDay;
  readonly week: string;
  readonly from: CalendarDay;
  readonly to: CalendarDay;
  readonly units: FileUnits;
  /** Null while there is no plan. */
  readonly planAsOf: CalendarDay | null;
  readonly brief: WeekInBrief;
  readonly work: readonly BookWork[];
  readonly starts: readonly BookStart[];
  readonly runs: readonly BookRun[];
  readonly orders: readonly BookOrder[];
  readonly jars: readonly BookJar[];
  readonly contamination: readonly BookRate[];
  readonly harvests: readonly BookHarvest[];
  readonly lists: BookLists;
}

/** The numbers an owner wants first. */
export interface WeekInBrief {
  readonly jarsToStart: number;
  readonly cycles: number;
  readonly dryGrainG: number;
  readonly grainName: string | null;
  readonly runsPlanned: number;
  readonly runsCovered: number;
  /** Planned runs that get their minimum, but not their target. */
  readonly runsBelowTarget: number;
  /** Planned runs below their minimum, soonest first. */
  readonly shortages: readonly { readonly run: string; readonly day: CalendarDay; readonly shortG: number }[];
  readonly jarsPastLife: number;
  readonly jarsSoonPast: number;
  readonly jarsContaminated: number;
}

export interface BookWork {
  readonly day: CalendarDay;
  readonly work: string;
  readonly what: string;
  readonly from: string;
  readonly purpose: string;
}

export interface BookStart {
  readonly benchDay: CalendarDay;
  readonly strain: string;
  readonly generation: number;
  readonly size: string;
  readonly containers: number;
  readonly mothers: string;
  readonly purpose: string;
  readonly ripeOn: CalendarDay;
  readonly lastSafeDay: CalendarDay;
}

export interface BookRun {
  readonly key: string;
  readonly revision: number;
  readonly cells: RunCells;
  readonly targetG: number;
  readonly minG: number;
  /** Null when the newest plan does not know the run. */
  readonly coveredG: number | null;
  readonly limit: string;
}

/** A planned order for whole jars; it is shown in a workbook and changed on the screens. */
export interface BookOrder {
  readonly name: string;
  readonly day: CalendarDay;
  readonly strains: string;
  readonly size: string;
  readonly jars: number;
  readonly handedOver: number;
  /** Whole jars of those still to be given that the newest plan fills; null when it does not know the order. */
  readonly covered: number | null;
  readonly forWhom: string;
  readonly note: string;
}

export interface BookJar {
  readonly code: string;
  readonly strain: string;
  readonly generation: number;
  readonly size: string;
  readonly state: string;
  readonly madeOn: CalendarDay;
  readonly ripeOn: CalendarDay | null;
  readonly ripeExpected: boolean;
  readonly chilledOn: CalendarDay | null;
  readonly room: string;
  readonly shelf: string;
  readonly leftG: number;
  readonly colonised: number | null;
  readonly mother: boolean;
  readonly expiresOn: CalendarDay | null;
}

export interface BookRate {
  readonly by: 'week' | 'strain' | 'steriliser method';
  readonly what: string;
  readonly made: number;
  readonly settled: number;
  readonly contaminated: number;
  /** Of what is settled; null while nothing is. */
  readonly low: number | null;
  readonly high: number | null;
}

/** A bulk run that was spawned, and what was picked from it. */
export interface BookHarvest {
  readonly run: string;
  readonly spawnedOn: CalendarDay;
  readonly substrateDryG: number;
  readonly firstFlushG: number;
  readonly secondFlushG: number;
  readonly laterFlushesG: number;
  readonly lastPickedOn: CalendarDay | null;
}

export interface BookLists {
  readonly strains: readonly {
    readonly code: string;
    readonly name: string;
    readonly species: string;
    readonly daysToRipe: number;
  }[];
  readonly sizes: readonly { readonly name: string; readonly volumeMl: number; readonly ripeG: number }[];
  readonly rooms: readonly { readonly name: string; readonly kind: string; readonly temperatureC: number | null }[];
}
