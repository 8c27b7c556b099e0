import { addDays, type CalendarDay } from '../calendar/calendar-day.js';

/** Jars of one lot that share a mother and a room, counted: what every contamination rate is added up from. */
export interface LotCell {
  readonly lotId: string;
  readonly madeOn: CalendarDay;
  /** Sterilised with the load and never inoculated. */
  readonly blank: boolean;
  readonly strainId: string | null;
  readonly grainBatchId: string | null;
  readonly cycleId: string | null;
  readonly method: string | null;
  /** Null for lots of old spreadsheets: who brought them in did not make them. */
  readonly operatorId: string | null;
  readonly motherId: string | null;
  readonly roomId: string | null;
  readonly jars: number;
  readonly contaminated: number;
  /** Contaminated, or gone or discarded before they were ripe. */
  readonly lost: number;
  /** Jars whose fate is known: contaminated, ripe or gone. */
  readonly settled: number;
}

/** Common practice, no source: what goes wrong in a jar mostly shows within two weeks of inoculation. */
export const SETTLING_DAYS = 14;

/**
 * The cells of lots that may be counted: two weeks old. A younger lot shows its bad jars before its good ones are ripe, so
 * that counting it at once would tell too high a rate, counting its clean jars as good too low a one, and counting it once
 * every jar's fate is known would count the lots first that are lost as a whole.
 */
export function settledCells(cells: readonly LotCell[], asOf: CalendarDay): readonly LotCell[] {
  const ofAge = addDays(asOf, -SETTLING_DAYS);
  return cells.filter(({ madeOn }) => madeOn <= ofAge);
}
