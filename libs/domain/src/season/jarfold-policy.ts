import type { FarmChance } from '../assurance/farm-chance.js';
import { type AssuranceOptions, type AssuredPlan, planWithAssurance } from '../assurance/plan-with-assurance.js';
import { wantedGrams } from '../assurance/simulated-farm.js';
import { standingStarts } from '../assurance/standing-starts.js';
import { addDays, daysBetween } from '../calendar/calendar-day.js';
import type { FarmSituation, StandingStart } from '../planning/situation.js';
import type { Handling, HandlingMove, Policy, WeekDecision } from './policy.js';

/** How far ahead Jarfold plans in a season: twelve weeks, four generations. */
export const policyHorizonDays = 84;

/** Jarfold itself: plans anew every week from what is seen, with assurance, keeping to the last plan where it is as good. */
export function jarfoldPolicy(believed: FarmChance, options: AssuranceOptions = {}): Policy {
  let last: AssuredPlan | null = null;
  return {
    name: 'jarfold',
    decide: async ({ seen, day }) => {
      const standing = last === null ? [] : standingFrom(last, seen);
      const plan = await planWithAssurance({ ...seen, standing }, believed, options);
      last = plan;
      return decisionOf(plan, seen, day);
    },
  };
}

/**
 * What stands on a morning, on a farm that works as it is told: grain whose preparation day has passed is there.
 * @param accepted the plan of the morning before, by which it was prepared
 * @param newest the newest plan, where that is another one
 */
export function standingFrom(
  accepted: Pick<AssuredPlan, 'starts'>,
  { asOf, rhythm }: Pick<FarmSituation, 'asOf' | 'rhythm'>,
  newest: Pick<AssuredPlan, 'starts'> = accepted,
): StandingStart[] {
  const days = accepted.starts.map(({ benchDay }) => benchDay);
  const preparedDays = new Set(days.filter((day) => addDays(day, -rhythm.preparationLeadDays) < asOf));
  return standingStarts({ asOf, newest: newest.starts, accepted: accepted.starts, pins: [], preparedDays, made: [] });
}

function handlingOf({ asOf, moves, uses }: AssuredPlan, day: number): Handling {
  const nextWeek = addDays(asOf, 7);
  const on = (date: FarmSituation['asOf']) => day + daysBetween(asOf, date);
  const openings = uses.filter((use) => use.opened > 0 && use.openedOn < use.day && use.openedOn < nextWeek);
  // In order of their days, so that the last use of a container counts.
  const warm = uses
    .filter((use) => !use.cold && use.openedOn <= nextWeek)
    .sort((one, other) => (one.openedOn < other.openedOn ? -1 : 1));
  return {
    moves: [
      ...moves
        .filter((move) => move.day < nextWeek)
        .map((move): HandlingMove => ({ kind: move.kind, code: move.from, day: on(move.day) })),
      ...openings.map((use): HandlingMove => ({ kind: 'open', code: use.from, day: on(use.openedOn) })),
    ],
    usedWarm: new Map(warm.map((use) => [use.from, on(use.openedOn)])),
  };
}

/** What the plan opens for starts; not what a run shares, which takes its part and leaves the rest. */
function keptForStarts({ uses }: AssuredPlan): Set<string> {
  const forRuns = new Set(uses.filter(({ to }) => to.kind === 'run').map(({ from }) => from));
  return new Set(uses.filter(({ to, from }) => to.kind === 'start' && !forRuns.has(from)).map(({ from }) => from));
}

function decisionOf(plan: AssuredPlan, { asOf }: FarmSituation, day: number): WeekDecision {
  const nextWeek = addDays(asOf, 7);
  return {
    starts: plan.starts
      .filter(({ benchDay }) => benchDay < nextWeek)
      .map(({ benchDay, strainId, sizeId, containers, generation, mothers }) => ({
        ...{ strainId, sizeId, containers, generation },
        day: day + daysBetween(asOf, benchDay),
        mothers: mothers.map(({ code }) => code),
      })),
    cultures: plan.cultures
      .filter(({ orderBy }) => orderBy < nextWeek)
      .map(({ strainId, units }) => ({ strainId, units })),
    gramsForRun: new Map(plan.runs.filter((run) => run.day < nextWeek).map((run) => [run.run, wantedGrams(run)])),
    kept: keptForStarts(plan),
    handling: handlingOf(plan, day),
    stated: plan.assurance.runs.map(({ run, probability }) => ({ run, probability })),
  };
}
