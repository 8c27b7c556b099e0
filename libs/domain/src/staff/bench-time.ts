import type { CalendarDay } from '../calendar/calendar-day.js';
import type { WorkRhythm } from '../planning/situation.js';

/** Days on which somebody is not there, both ends among them. */
export interface AwayPeriod {
  readonly firstDay: CalendarDay;
  readonly lastDay: CalendarDay;
}

/** Somebody at work as the bench counts on them. */
export interface BenchPerson {
  /** Hands-on minutes on a bench day; null: not said. */
  readonly benchMinutes: number | null;
  readonly away: readonly AwayPeriod[];
}

/** Hands-on minutes of a farm's bench days. */
export interface BenchMinutes {
  /** Of a day on which everybody is there. */
  readonly perDay: number;
  /** Bench days that have others, because somebody is away. */
  readonly onDay: readonly { readonly day: CalendarDay; readonly minutes: number }[];
}

/**
 * Whether somebody is away on a day.
 */
export function isAwayOn(away: readonly AwayPeriod[], day: CalendarDay): boolean {
  return away.some(({ firstDay, lastDay }) => firstDay <= day && day <= lastDay);
}

/**
 * The minutes of each bench day from what each person can give: the sum over those who are there. Whoever has not said
 * any counts with none, as soon as one has. Adding minutes up is common practice, no source: two pairs of hands at one
 * bench are taken to do twice as much.
 * @param days the bench days looked at
 * @returns null while nobody's minutes are said: then the farm's one number holds
 */
export function benchMinutesOf(people: readonly BenchPerson[], days: readonly CalendarDay[]): BenchMinutes | null {
  const said = people.filter(({ benchMinutes }) => benchMinutes !== null);
  if (said.length === 0) return null;
  const perDay = sum(said);
  const onDay = days
    .map((day) => ({ day, minutes: sum(said.filter(({ away }) => !isAwayOn(away, day))) }))
    .filter(({ minutes }) => minutes !== perDay);
  return { perDay, onDay };
}

const sum = (people: readonly BenchPerson[]): number =>
  people.reduce((total, { benchMinutes }) => total + (benchMinutes ?? 0), 0);

/** When the farm works, with the minutes of its people where they are said. Days on which everybody is there are left out. */
export function rhythmOfPeople(
  rhythm: WorkRhythm,
  people: readonly BenchPerson[],
  days: readonly CalendarDay[],
): WorkRhythm {
  const minutes = benchMinutesOf(people, days);
  if (minutes === null) return rhythm;
  const { perDay, onDay } = minutes;
  return { ...rhythm, benchMinutesPerDay: perDay, ...(onDay.length === 0 ? {} : { benchMinutesOnDay: onDay }) };
}
