import type { Week } from '@jarfold/contracts';
import { addDays, type CalendarDay } from '@jarfold/domain';

/** Everything one day of a week asks for. */
export interface DayOfWork {
  readonly day: CalendarDay;
  readonly preparations: Week['preparations'];
  readonly starts: Week['benchDays'][number]['starts'];
  readonly moves: Week['moves'];
  readonly runs: Week['runs'];
  /** What is drawn on this day for a run of another day. */
  readonly earlyUses: readonly {
    readonly run: Week['runs'][number];
    readonly use: Week['runs'][number]['uses'][number];
  }[];
  readonly cultures: Week['cultures'];
}

const DAYS_PER_WEEK = 7;

/** The week from Monday to Sunday, each day with its work; days without work are there too. */
export function daysOfWork(week: Week): readonly DayOfWork[] {
  return Array.from({ length: DAYS_PER_WEEK }, (_, index) => workOf(week, addDays(week.monday, index)));
}

function workOf(week: Week, day: CalendarDay): DayOfWork {
  return {
    day,
    preparations: week.preparations.filter((preparation) => preparation.day === day),
    starts: week.benchDays.filter((bench) => bench.day === day).flatMap((bench) => bench.starts),
    moves: week.moves.filter((move) => move.day === day),
    runs: week.runs.filter(({ run }) => run.day === day),
    earlyUses: week.runs
      .filter(({ run }) => run.day !== day)
      .flatMap((run) => run.uses.filter((use) => use.day === day).map((use) => ({ run, use }))),
    cultures: week.cultures.filter((culture) => culture.orderBy === day),
  };
}

export function isQuiet(work: DayOfWork): boolean {
  return [work.preparations, work.starts, work.moves, work.runs, work.earlyUses, work.cultures].every(
    (list) => list.length === 0,
  );
}

/** Jars started on a day. */
export function jarsStarted(work: DayOfWork): number {
  return work.starts.reduce((sum, start) => sum + start.containers, 0);
}
