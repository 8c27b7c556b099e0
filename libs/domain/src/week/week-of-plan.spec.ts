import { describe, expect, it } from '@jest/globals';
import { calendarDay } from '../calendar/calendar-day.js';
import type { PlannedStart, RunCoverage, SpawnPlan } from '../planning/plan.js';
import { coverageKind, shortGrams, weekOfPlan } from './week-of-plan.js';

const day = calendarDay;

const start = (id: string, benchDay: string): PlannedStart => ({
  id,
  benchDay: day(benchDay),
  strainId: 'oyster',
  generation: 2,
  sizeId: 'litre',
  containers: 4,
  mothers: [{ code: 'OY1-26W45-1/01', grams: 240 }],
  feeds: [{ run: 'run-1', grams: 2000 }],
  mothersLaterGrams: 0,
  reserveGrams: 0,
  ripeOn: day('2026-12-10'),
  lastSafeDay: day(benchDay),
});

const run = (id: string, on: string, coveredGrams: number): RunCoverage => ({
  run: id,
  day: day(on),
  strainId: 'oyster',
  minGrams: 1000,
  targetGrams: 2000,
  coveredGrams,
  probability: null,
  limit: null,
});

const closed = { cold: false, opened: 1, openedOn: day('2026-11-26') };
const costParts: SpawnPlan['costParts'] = {
  ...{ containers: 0, cycles: 0, cultures: 0, chilling: 0, agedOut: 0, short: 0, belowTarget: 0 },
  ...{ generation: 0, age: 0, secondChoice: 0, mothersMissing: 0 },
};

const plan: SpawnPlan = {
  asOf: day('2026-11-25'),
  starts: [start('late', '2026-12-01'), start('friday', '2026-11-27'), start('thursday', '2026-11-26')],
  preparations: [
    { day: day('2026-11-29'), benchDay: day('2026-12-01'), cycles: 1, containers: [{ sizeId: 'litre', count: 4 }] },
    { day: day('2026-11-25'), benchDay: day('2026-11-26'), cycles: 1, containers: [{ sizeId: 'litre', count: 4 }] },
  ],
  cultures: [],
  moves: [{ day: day('2026-12-02'), kind: 'warm', from: 'OY1-26W40-1/01', containers: 1 }],
  uses: [
    { day: day('2026-11-28'), from: 'OY1-26W45-1/02', grams: 1500, to: { kind: 'run', run: 'run-2' }, ...closed },
    {
      day: day('2026-11-26'),
      from: 'OY1-26W45-1/01',
      grams: 240,
      to: { kind: 'start', start: 'thursday' },
      ...closed,
      cold: true,
    },
  ],
  runs: [run('run-1', '2026-12-14', 2000), run('run-2', '2026-11-28', 1500), run('run-0', '2026-12-05', 400)],
  stranded: [],
  discards: [],
  reserveGaps: [],
  impossible: [],
  costParts,
  cost: 0,
  bound: 0,
  gap: 0,
  exact: true,
};

describe('weekOfPlan', () => {
  const week = weekOfPlan(plan, day('2026-11-26'));

  it('runs from Monday to Sunday of the ISO week', () => {
    expect([week.monday, week.sunday]).toEqual(['2026-11-23', '2026-11-29']);
  });

  it('holds the bench days of the week in order and no other', () => {
    expect(week.benchDays.map(({ day: on, starts }) => [on, starts.map(({ id }) => id)])).toEqual([
      ['2026-11-26', ['thursday']],
      ['2026-11-27', ['friday']],
    ]);
  });

  it('prepares on Sunday for a bench day of the next week', () => {
    expect(week.preparations.map((preparation) => [preparation.day, preparation.benchDay])).toEqual([
      ['2026-11-25', '2026-11-26'],
      ['2026-11-29', '2026-12-01'],
    ]);
    expect(weekOfPlan(plan, day('2026-12-01')).preparations).toEqual([]);
  });

  it('shows the runs of the week with what goes into them, and no move of another week', () => {
    expect(week.runs.map(({ coverage, uses }) => [coverage.run, uses.map((use) => use.grams)])).toEqual([
      ['run-2', [1500]],
    ]);
    expect(week.moves).toEqual([]);
  });

  it('warns of every shortage of the plan, soonest first', () => {
    expect(week.shortages.map(({ coverage, kind, shortGrams: grams }) => [coverage.run, kind, grams])).toEqual([
      ['run-2', 'below-target', 500],
      ['run-0', 'below-minimum', 600],
    ]);
  });
});

describe('coverageKind', () => {
  it('takes one per cent for what weighing out by hand cannot tell', () => {
    expect(coverageKind(run('r', '2026-12-01', 1980))).toBe('full');
    expect(coverageKind(run('r', '2026-12-01', 1979))).toBe('covered');
    expect(coverageKind(run('r', '2026-12-01', 990))).toBe('covered');
    expect(coverageKind(run('r', '2026-12-01', 989))).toBe('short');
    expect(shortGrams(run('r', '2026-12-01', 989))).toBe(11);
    expect(shortGrams(run('r', '2026-12-01', 2500))).toBe(0);
  });

  it('takes half a gram for rounding where one per cent is less', () => {
    const small = { ...run('r', '2026-12-01', 9.6), minGrams: 5, targetGrams: 10 };
    expect(coverageKind(small)).toBe('full');
    expect(coverageKind({ ...small, coveredGrams: 9.4 })).toBe('covered');
  });
});
