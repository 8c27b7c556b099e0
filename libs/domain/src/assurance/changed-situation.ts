import { type CalendarDay, daysBetween, daysFromTo } from '../calendar/calendar-day.js';
import { requireThat } from '../errors.js';
import type { FarmSituation, WorkRhythm } from '../planning/situation.js';

/** One thing that might be different. */
export type Supposition =
  | { readonly kind: 'move-run'; readonly runId: string; readonly day: CalendarDay }
  /** Jars on hand that are lost, by code. */
  | { readonly kind: 'lose-jars'; readonly codes: readonly string[] }
  | { readonly kind: 'more-cycles'; readonly cycles: number }
  /** Bench days without a session: nobody is there, or nobody stands in for who is away. */
  | { readonly kind: 'no-bench'; readonly from: CalendarDay; readonly until: CalendarDay }
  /** So many bench minutes fewer on some days: somebody is away, and the others do what they can. */
  | { readonly kind: 'fewer-minutes'; readonly days: readonly CalendarDay[]; readonly minutes: number }
  /** So many containers fewer can be inoculated on every bench day. */
  | { readonly kind: 'fewer-hands'; readonly containersPerDay: number };

/**
 * The situation as it would be. Nothing else changes.
 * @throws DomainError `supposition-not-possible` when it speaks of something that is not there
 */
export function supposed(situation: FarmSituation, suppositions: readonly Supposition[]): FarmSituation {
  return suppositions.reduce(suppose, situation);
}

function suppose(situation: FarmSituation, supposition: Supposition): FarmSituation {
  const { rhythm, runs, stock } = situation;
  switch (supposition.kind) {
    case 'move-run': {
      const { runId, day } = supposition;
      requireThere(
        runs.some(({ id }) => id === runId),
        `There is no planned run ${runId}.`,
      );
      return { ...situation, runs: runs.map((run) => (run.id === runId ? { ...run, day } : run)) };
    }
    case 'lose-jars': {
      const lost = new Set(supposition.codes);
      const missing = supposition.codes.find((code) => !stock.some((jar) => jar.code === code));
      requireThere(missing === undefined, `There is no usable jar ${missing} on hand.`);
      return { ...situation, stock: stock.filter(({ code }) => !lost.has(code)) };
    }
    case 'more-cycles': {
      const cyclesPerPreparationDay = Math.max(0, rhythm.cyclesPerPreparationDay + supposition.cycles);
      return { ...situation, rhythm: { ...rhythm, cyclesPerPreparationDay } };
    }
    case 'no-bench':
      return {
        ...situation,
        rhythm: { ...rhythm, closedDays: [...new Set([...rhythm.closedDays, ...span(supposition)])] },
      };
    case 'fewer-minutes':
      return { ...situation, rhythm: withFewerMinutes(rhythm, supposition.days, supposition.minutes) };
    case 'fewer-hands': {
      const benchContainersPerDay = Math.max(0, rhythm.benchContainersPerDay - supposition.containersPerDay);
      return { ...situation, rhythm: { ...rhythm, benchContainersPerDay } };
    }
  }
}

function withFewerMinutes(rhythm: WorkRhythm, days: readonly CalendarDay[], fewer: number): WorkRhythm {
  const { benchMinutesPerDay, benchMinutesOnDay = [] } = rhythm;
  requireThere(benchMinutesPerDay !== null, 'Nobody has said how many minutes there are on a bench day.');
  const changed = [...new Set(days)].map((day) => {
    const minutes = benchMinutesOnDay.find((each) => each.day === day)?.minutes ?? benchMinutesPerDay ?? 0;
    return { day, minutes: Math.max(0, minutes - fewer) };
  });
  const kept = benchMinutesOnDay.filter(({ day }) => !days.includes(day));
  return { ...rhythm, benchMinutesOnDay: [...kept, ...changed].sort((one, other) => (one.day < other.day ? -1 : 1)) };
}

/** A year at most: a typing error must not fill the memory. */
const MOST_DAYS = 366;

function span({ from, until }: { readonly from: CalendarDay; readonly until: CalendarDay }): CalendarDay[] {
  const days = daysBetween(from, until);
  requireThere(days >= 0 && days < MOST_DAYS, `From ${from} until ${until} is no span of up to a year.`);
  return daysFromTo(from, until);
}

function requireThere(condition: boolean, message: string): void {
  requireThat(condition, 'supposition-not-possible', message);
}
