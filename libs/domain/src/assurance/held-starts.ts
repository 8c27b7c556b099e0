import { isoWeekday } from '../calendar/calendar-day.js';
import { acceptSituation } from '../planning/accept-situation.js';
import { startId } from '../planning/pegged-plan.js';
import type { Impossibility, SpawnPlan } from '../planning/plan.js';
import type { FarmSituation, StandingStart } from '../planning/situation.js';

export function idOf({ benchDay, strainId, generation, sizeId }: Omit<StandingStart, 'containers' | 'hold'>): string {
  return startId(benchDay, strainId, generation, sizeId);
}

/**
 * What the plan cannot honour of the farm's wishes: what is found before planning, and the starts that are prepared or
 * pinned and are not made in full. A start chosen by the search that found no room is no remark of its own.
 */
export function remarksOf(situation: FarmSituation, plan: SpawnPlan): SpawnPlan['impossible'] {
  const known = new Set(acceptSituation(situation).impossible.map(({ code, subject }) => `${code}|${subject}`));
  const others = plan.impossible.filter(({ code, subject }) => code !== HELD || known.has(`${code}|${subject}`));
  return [...others, ...heldButNotMade(situation, plan)];
}

const HELD = 'held-start-not-possible';

function heldButNotMade(situation: FarmSituation, { starts }: SpawnPlan): Impossibility[] {
  const { asOf, strains, sizes, standing = [] } = situation;
  const made = new Map(starts.map((start) => [idOf(start), start.containers]));
  return standing.flatMap((start): Impossibility[] => {
    const { benchDay, strainId, sizeId, generation, containers, hold } = start;
    const count = made.get(idOf(start)) ?? 0;
    if (hold === 'accepted' || benchDay < asOf || count >= containers) return [];
    // What the farm no longer knows at all was said before planning.
    if (!strains.some(({ id }) => id === strainId) || !sizes.some(({ id }) => id === sizeId)) return [];
    const message = `Of ${containers} ${sizeId} of ${strainId}, generation ${generation}, that are to be started on ${benchDay} only ${count} can be: ${whyNot(situation, start)}`;
    return [{ code: HELD, subject: idOf(start), message }];
  });
}

/** What is prepared may be started on any day, and what is held may be more than the bench usually takes. */
function whyNot({ rhythm }: FarmSituation, { benchDay, hold }: StandingStart): string {
  if (rhythm.benchContainersPerDay === 0) return 'the bench takes no container at all.';
  if (hold === 'pinned' && rhythm.closedDays.includes(benchDay))
    return 'the farm is closed on that day. Pin it to another bench day.';
  if (hold === 'pinned' && !rhythm.benchWeekdays.includes(isoWeekday(benchDay)))
    return 'it is no bench day. Pin it to one.';
  return 'there is no mother or culture for the rest.';
}
