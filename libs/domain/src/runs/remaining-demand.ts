import { addDays, type CalendarDay } from '../calendar/calendar-day.js';
import { requireThat } from '../errors.js';

/** Grams of spawn a run asks for. */
export interface DemandGrams {
  readonly minGrams: number;
  readonly targetGrams: number;
  readonly maxGrams: number;
}

/**
 * What a run still asks for once some of its spawn was already put in.
 * @param drawnGrams grams drawn for it so far, at least 0
 */
export function remainingDemand(demand: DemandGrams, drawnGrams: number): DemandGrams {
  requireThat(drawnGrams >= 0, 'drawn-below-zero', `Grams drawn for a run cannot be ${drawnGrams}.`);
  const left = (grams: number) => Math.max(0, grams - drawnGrams);
  return {
    minGrams: left(demand.minGrams),
    targetGrams: left(demand.targetGrams),
    maxGrams: left(demand.maxGrams),
  };
}

/** Whether a run can still take spawn: its day, put off by its slack, has not passed. */
export function isStillAhead(
  run: { readonly day: CalendarDay; readonly slackDays: number },
  asOf: CalendarDay,
): boolean {
  return addDays(run.day, run.slackDays) >= asOf;
}
