import { type CalendarDay, calendarDayAt } from '@jarfold/domain';
import { type FarmReading, readFarm } from './farm/read-farm.js';
import { defaultLimits, type WorkbookLimits } from './package/limits.js';
import { readCellsInChild } from './package/read-cells-in-child.js';
import { UnreadableWorkbook } from './problem.js';

/** The day to plan for: given, or today where the farm is. */
export type PlanDay = CalendarDay | { readonly nowMs: number; readonly timeZoneIfNone: string };

/**
 * Reads a farm workbook from outside: opened in a process of its own, with limits on what it may be.
 * @param planDay the day the plan is made for
 * @returns the farm, or every problem found in one pass
 */
export async function readFarmWorkbook(
  bytes: Buffer,
  planDay: PlanDay,
  limits: WorkbookLimits = defaultLimits,
): Promise<FarmReading> {
  try {
    const cells = await readCellsInChild(bytes, limits);
    return readFarm(cells, (timeZone) => dayOf(planDay, timeZone));
  } catch (error) {
    if (error instanceof UnreadableWorkbook) return { ok: false, problems: [error.problem], notices: [] };
    throw error;
  }
}

function dayOf(planDay: PlanDay, timeZone: string | null): CalendarDay {
  return typeof planDay === 'string' ? planDay : calendarDayAt(planDay.nowMs, timeZone ?? planDay.timeZoneIfNone);
}
