import { dayNumber } from '../calendar/calendar-day.js';
import { acceptSituation } from '../planning/accept-situation.js';
import { containersOn } from '../planning/accepted-situation.js';
import type { FarmSituation } from '../planning/situation.js';

/**
 * Whether the bench still has room for all that stands: people may be away since, or fewer jars be wanted of a day. What
 * is prepared or pinned happens in any case, and is not turned away.
 */
export function benchHasRoom(situation: FarmSituation): boolean {
  const { rhythm } = acceptSituation(situation);
  const all = new Map<number, number>();
  const held = new Map<number, number>();
  for (const { benchDay, containers, hold } of situation.standing ?? []) {
    const day = dayNumber(benchDay) - dayNumber(situation.asOf);
    if (day < 0) continue;
    all.set(day, (all.get(day) ?? 0) + containers);
    if (hold !== 'accepted') held.set(day, (held.get(day) ?? 0) + containers);
  }
  return [...all].every(([day, containers]) => containers <= Math.max(containersOn(rhythm, day), held.get(day) ?? 0));
}
