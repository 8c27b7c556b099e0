import type { Week } from '@jarfold/contracts';
import { addDays, type CalendarDay, formatIsoWeek, isoWeek, isoWeekday } from '@jarfold/domain';

/** A farm's week: seven days from the weekday it begins on. */
export interface FarmWeek {
  readonly from: CalendarDay;
  readonly to: CalendarDay;
  /** ISO 8601 week that most of its days lie in. */
  readonly label: string;
}

export function farmWeek(day: CalendarDay, weekStartsOn: number): FarmWeek {
  const from = addDays(day, -((isoWeekday(day) - weekStartsOn + 7) % 7));
  return { from, to: addDays(from, 6), label: formatIsoWeek(isoWeek(addDays(from, 3))) };
}

/** The ISO weeks a farm's week lies in: one when it begins on Monday, else two. */
export function isoWeeksOf({ from, to }: FarmWeek): string[] {
  return [...new Set([from, to].map((day) => formatIsoWeek(isoWeek(day))))];
}

/** The work of some ISO weeks, cut to a farm's week. What the plan says beyond the week is taken from the first. */
export function cutToWeek(weeks: readonly Week[], { from, to }: FarmWeek): Week {
  const [first] = weeks;
  if (first === undefined) throw new RangeError('A farm week lies in one ISO week at least.');
  const within = (day: CalendarDay) => day >= from && day <= to;
  const benchDays = weeks.flatMap((week) => week.benchDays).filter(({ day }) => within(day));
  const preparations = weeks.flatMap((week) => week.preparations).filter(({ day }) => within(day));
  return {
    ...first,
    ...{ monday: from, sunday: to, benchDays, preparations },
    moves: weeks.flatMap((week) => week.moves).filter(({ day }) => within(day)),
    runs: weeks.flatMap((week) => week.runs).filter(({ run }) => within(run.day)),
    cultures: onceById(weeks.flatMap((week) => week.cultures)).filter(({ orderBy }) => within(orderBy)),
    totals: {
      starts: sum(benchDays.map(({ containers }) => containers)),
      cycles: sum(preparations.map(({ cycles }) => cycles)),
      dryGrainG: sum(preparations.map(({ grain }) => grain.dryGrainG)),
      cookingWaterMl: sum(preparations.map(({ grain }) => grain.cookingWaterMl)),
    },
  };
}

const onceById = <T extends { readonly id: string }>(things: readonly T[]): T[] => [
  ...new Map(things.map((thing) => [thing.id, thing])).values(),
];
const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
