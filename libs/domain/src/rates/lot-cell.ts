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
  readonly operatorId: string;
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
 * The cells of lots that may be counted. A young lot shows its bad jars before its good ones are ripe, so that counting
 * it at once would tell too high a rate, and counting its clean jars as good too low a one: a lot counts as a whole, once
 * every jar's fate is known or it is two weeks old.
 */
export function settledCells(cells: readonly LotCell[], asOf: CalendarDay): readonly LotCell[] {
  const open = new Set(cells.filter(({ settled, jars }) => settled < jars).map(({ lotId }) => lotId));
  const ofAge = addDays(asOf, -SETTLING_DAYS);
  return cells.filter(({ lotId, madeOn }) => !open.has(lotId) || madeOn <= ofAge);
}
