import { describe, expect, it } from '@jest/globals';
import { calendarDay } from '../calendar/calendar-day.js';
import type { SpawnPlan } from '../planning/plan.js';
import type { LoggedEntry } from './correction.js';
import { jobsDone, jobsOfPlan, type WorkDone, workByKey } from './day-jobs.js';
import type { EntryKind, EntryPayloads } from './entry.js';

const TODAY = calendarDay('2026-11-25');
const LATER = calendarDay('2026-11-27');

const start = (day: typeof TODAY, containers: number) => ({
  ...{ id: `start-${day}`, benchDay: day, strainId: 'oyster', generation: 2, sizeId: 'litre', containers },
  ...{ mothers: [{ code: 'OY1-26W45-1/01', grams: 240 }], feeds: [], mothersLaterGrams: 0, reserveGrams: 0 },
  ...{ ripeOn: LATER, lastSafeDay: day },
});
const use = (run: string, from: string, grams: number) => ({
  ...{ day: TODAY, from, grams, to: { kind: 'run' as const, run }, cold: false, opened: 1, openedOn: TODAY },
});

const plan = (parts: Partial<SpawnPlan>): SpawnPlan =>
  ({
    ...{ asOf: TODAY, starts: [], preparations: [], cultures: [], moves: [], uses: [], runs: [], stranded: [] },
    ...{ discards: [], reserveGaps: [], impossible: [], cost: 0, bound: 0, gap: 0, exact: true },
    ...parts,
  }) as unknown as SpawnPlan;

const entry = <K extends EntryKind>(kind: K, payload: EntryPayloads[K], facts = {}): LoggedEntry =>
  ({ position: 1, entry: { id: 'e', kind, payload, staffId: 's', atMs: 0, day: TODAY }, facts }) as LoggedEntry;

const work = (entries: readonly LoggedEntry[], draws: WorkDone['draws'] = []) =>
  workByKey({ entries, draws, jarCode: (id) => ({ jar7: 'OY1-26W40-1/07' })[id] });

const jars = (count: number) => Array.from({ length: count }, (_, at) => ({ id: `new-${at}` }));
const inoculated = (count: number) =>
  entry(
    'inoculated',
    { lotId: 'lot', strainId: 'oyster', sizeId: 'litre', mothers: [], jars: jars(count) },
    { generation: 2 },
  );
const NOTHING = new Map<string, number>();

describe('the jobs of a day', () => {
  it('are what the plan wants up to that day, one job for work of one kind', () => {
    const jobs = jobsOfPlan(
      plan({
        starts: [start(TODAY, 4), start(LATER, 9)],
        preparations: [{ day: TODAY, benchDay: LATER, cycles: 2, containers: [{ sizeId: 'litre', count: 14 }] }],
        moves: [{ day: TODAY, kind: 'chill', from: 'OY1-26W40-1/07', containers: 1 }],
        uses: [use('run-1', 'OY1-26W41-1/01', 500), use('run-1', 'OY1-26W41-1/02', 700)],
        cultures: [{ id: 'c', strainId: 'oyster', orderBy: TODAY, readyOn: LATER, units: 1 }],
      }),
      TODAY,
    );
    expect(jobs.map(({ kind, wanted }) => [kind, wanted])).toEqual([
      ['fill', 14],
      ['sterilise', 2],
      ['inoculate', 4],
      ['chill', 1],
      ['use', 1200],
      ['culture', 1],
    ]);
    expect(jobs[4]?.sources.map(({ from }) => from)).toEqual(['OY1-26W41-1/01', 'OY1-26W41-1/02']);
  });
});

describe('work done', () => {
  it('is counted for the job it belongs to, whichever jar was taken', () => {
    const done = work(
      [
        entry('grain_filled', { grainBatchId: 'g', fills: [{ sizeId: 'litre', count: 6 }] }),
        entry('cycle_ended', { cycleId: 'c' }),
        inoculated(3),
        entry('chilled', { jarIds: ['jar7'] }),
        entry('noted', { text: 'nothing' }),
      ],
      [
        { runId: 'run-1', massG: 450.5 },
        { runId: null, massG: 20 },
      ],
    );
    expect(Object.fromEntries(done)).toEqual({
      'fill litre': 6,
      sterilise: 1,
      'inoculate oyster 2 litre': 3,
      'chill OY1-26W40-1/07': 1,
      'use run-1': 450.5,
    });
  });
});

describe('jobs with what is done of them', () => {
  const jobs = jobsOfPlan(plan({ starts: [start(TODAY, 4)] }), TODAY);

  it('tick off as entries come in', () => {
    const at = (count: number) =>
      jobsDone({ jobs, since: work([inoculated(count)]) }, { jobs, since: work([inoculated(count)]) });
    expect(at(3)).toMatchObject([{ kind: 'inoculate', wanted: 4, done: 3 }]);
    expect(at(4)).toMatchObject([{ kind: 'inoculate', wanted: 4, done: 4 }]);
    expect(at(5)).toMatchObject([{ kind: 'inoculate', wanted: 5, done: 5 }]);
  });

  it('stay ticked off when the plan is made anew and no longer asks for them', () => {
    const first = { jobs, since: work([inoculated(4)]) };
    expect(jobsDone(first, { jobs: [], since: NOTHING })).toMatchObject([{ wanted: 4, done: 4 }]);
  });

  it('show what the newest plan still wants beside what is done', () => {
    const more = jobsOfPlan(plan({ starts: [start(TODAY, 6)] }), TODAY);
    expect(jobsDone({ jobs, since: work([inoculated(4)]) }, { jobs: more, since: NOTHING })).toMatchObject([
      { wanted: 10, done: 4 },
    ]);
  });

  it('vanish when nothing was done and no plan wants them any more', () => {
    expect(jobsDone({ jobs, since: NOTHING }, { jobs: [], since: NOTHING })).toEqual([]);
  });

  it('do not hang on a rounding of grams', () => {
    const uses = jobsOfPlan(plan({ uses: [use('run-1', 'OY1-26W41-1/01', 500)] }), TODAY);
    const since = work([], [{ runId: 'run-1', massG: 499.98 }]);
    expect(jobsDone({ jobs: uses, since }, { jobs: uses, since })).toMatchObject([{ wanted: 499.98, done: 499.98 }]);
  });
});
