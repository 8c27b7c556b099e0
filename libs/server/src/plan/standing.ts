import { addDays, type CalendarDay, isoWeekday, standingStarts } from '@jarfold/domain';
import type { StandingStart, WorkRhythm } from '@jarfold/domain/planning';
import type { GrowerTx } from '../platform/index.js';
import { acceptedPlan, type StoredPlanRow } from './plan.repository.js';
import { listCycleDays, listMade, listPins } from './standing.repository.js';

/** Sterile grain keeps about so many days, so an earlier cycle was for an earlier bench day. Common practice, no source. */
const GRAIN_KEEPS_DAYS = 5;

/**
 * What stands of earlier plans: prepared, pinned, or the newest plan's.
 * @param newest the newest plan, if there is one
 */
export async function readStanding(
  tx: GrowerTx,
  growerId: string,
  asOf: CalendarDay,
  rhythm: WorkRhythm,
  newest: StoredPlanRow | null,
): Promise<StandingStart[]> {
  const accepted = newest?.acceptedAt ? newest : await acceptedPlan(tx, growerId);
  const cycleDays = await listCycleDays(tx, growerId, addDays(asOf, -GRAIN_KEEPS_DAYS));
  return standingStarts({
    asOf,
    newest: newest?.plan.starts ?? [],
    accepted: accepted?.plan.starts ?? null,
    pins: await listPins(tx, growerId, asOf),
    preparedDays: new Set(cycleDays.map((day) => benchDayFor(day, rhythm))),
    made: await listMade(tx, growerId, asOf),
  });
}

/** The bench day that grain sterilised on a day is meant for. */
function benchDayFor(cycleDay: CalendarDay, rhythm: WorkRhythm): CalendarDay {
  const first = addDays(cycleDay, Math.min(1, rhythm.preparationLeadDays));
  for (let ahead = 0; ahead < 14; ahead += 1) {
    const day = addDays(first, ahead);
    if (rhythm.benchWeekdays.includes(isoWeekday(day)) && !rhythm.closedDays.includes(day)) return day;
  }
  return first;
}
