import { addDays, isoWeekday } from '../calendar/calendar-day.js';
import type { AcceptedSituation } from './accepted-situation.js';

/** A bench session that can be supplied with sterile grain. Days count from `asOf`. */
export interface BenchSlot {
  readonly index: number;
  readonly day: number;
  /** When its grain is filled and sterilised. */
  readonly preparationDay: number;
  /** Whether grain for it can still be made; otherwise only what is prepared already is started. */
  readonly canPrepare: boolean;
}

/** Sterile, cooled grain keeps this long before it is inoculated. Common practice, no source. */
const STERILE_GRAIN_KEEPS_DAYS = 4;

/**
 * The bench days of the horizon. Grain for each is prepared `preparationLeadDays` before; where that day is closed, on
 * the last open day before it, as long as sterile grain keeps. A bench day whose preparation day has passed is left out,
 * unless grain stands ready for it.
 */
export function benchSlots(situation: AcceptedSituation): BenchSlot[] {
  const slots: BenchSlot[] = [];
  const ready = new Set(situation.standing.starts.filter((start) => start.prepared > 0).map((start) => start.benchDay));
  for (let day = 0; day <= situation.horizon; day += 1) {
    const preparationDay = isBenchDay(situation, day) ? preparationDayFor(situation, day) : null;
    const index = slots.length;
    if (preparationDay !== null) slots.push({ index, day, preparationDay, canPrepare: true });
    else if (ready.has(day)) slots.push({ index, day, preparationDay: day, canPrepare: false });
  }
  return slots;
}

/** Whether the farm has a bench session on the day. */
export function isBenchDay({ asOf, rhythm }: AcceptedSituation, day: number): boolean {
  return rhythm.isBenchWeekday[isoWeekday(addDays(asOf, day))] === true && !rhythm.closedDays.has(day);
}

/** The day on which the grain for a bench day is made, or null when there is none from `asOf` on. */
export function preparationDayFor({ rhythm }: AcceptedSituation, benchDay: number): number | null {
  const latest = benchDay - rhythm.preparationLeadDays;
  for (let day = latest; day >= Math.max(0, latest - STERILE_GRAIN_KEEPS_DAYS); day -= 1) {
    if (!rhythm.closedDays.has(day)) return day;
  }
  return null;
}

/** Days on which containers are put into the cold: the planning day and every bench day; weekly without bench days. */
export function handlingDays(situation: AcceptedSituation): number[] {
  const days = Array.from({ length: situation.horizon + 1 }, (_, day) => day);
  const bench = days.filter((day) => day === 0 || isBenchDay(situation, day));
  return bench.length > 1 ? bench : days.filter((day) => day % 7 === 0);
}

/** The days a run may take place. */
export function runDays(run: { readonly day: number; readonly lastDay: number }): number[] {
  return Array.from({ length: run.lastDay - run.day + 1 }, (_, later) => run.day + later);
}
