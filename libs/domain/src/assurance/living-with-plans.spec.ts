import { describe, expect, it } from '@jest/globals';
import { kitchen } from '../../../../tests/reference/planning-kitchen.js';
import { calendarDay } from '../calendar/calendar-day.js';
import { supposed } from './changed-situation.js';
import { type ComparedPlan, planChanges } from './plan-changes.js';
import { planFacts } from './plan-facts.js';
import { standingStarts } from './standing-starts.js';

const asOf = calendarDay('2026-11-25');
const sat = calendarDay('2026-11-28');
const next = calendarDay('2026-12-05');
const start = (benchDay: typeof asOf, containers: number, generation = 2) => ({
  ...{ benchDay, strainId: 'oyster', generation, sizeId: 'jar', containers },
});
const nothing = { asOf, newest: [], accepted: null, pins: [], preparedDays: new Set<typeof asOf>(), made: [] };

describe('standingStarts', () => {
  it('keeps the newest plan’s coming starts, and lets those of days gone by go', () => {
    const standing = standingStarts({ ...nothing, newest: [start(calendarDay('2026-11-21'), 4), start(sat, 5)] });
    expect(standing).toEqual([{ ...start(sat, 5), hold: 'accepted' }]);
  });

  it('lets a pin stand before the plan, also a pin to none', () => {
    const standing = standingStarts({ ...nothing, newest: [start(sat, 5)], pins: [start(sat, 0)] });
    expect(standing).toEqual([{ ...start(sat, 0), hold: 'pinned' }]);
  });

  it('freezes accepted starts whose grain is made, less what is inoculated already', () => {
    const standing = standingStarts({
      ...nothing,
      newest: [start(sat, 9), start(next, 3)],
      accepted: [start(sat, 7)],
      pins: [start(sat, 1)],
      preparedDays: new Set([sat]),
      made: [start(sat, 2)],
    });
    expect(standing).toEqual([
      { ...start(sat, 5), hold: 'prepared' },
      { ...start(next, 3), hold: 'accepted' },
    ]);
  });

  it('freezes what grain was made for by a plan that nobody accepted, and nothing else of it', () => {
    const newest = [start(sat, 9), start(next, 3)];
    const standing = standingStarts({ ...nothing, newest, pins: [start(sat, 1)], preparedDays: new Set([sat]) });
    expect(standing).toEqual([
      { ...start(sat, 9), hold: 'prepared' },
      { ...start(next, 3), hold: 'accepted' },
    ]);
    // Nor does it matter that another plan was accepted long ago.
    const accepted = [start(calendarDay('2026-10-31'), 4)];
    expect(standingStarts({ ...nothing, newest, accepted, preparedDays: new Set([sat]) })).toEqual(standing);
  });
});

function compared(
  farm: ReturnType<typeof kitchen>,
  starts: readonly ReturnType<typeof start>[],
  cost: number,
): ComparedPlan {
  const runs = farm.runs.map(({ id, day, minGrams, targetGrams }) => ({
    ...{ run: id, day, minGrams, targetGrams, strainId: 'oyster' },
    ...{ coveredGrams: targetGrams, probability: 0.97, limit: null },
  }));
  return { plan: { asOf: farm.asOf, starts: starts as never, runs, cost }, facts: planFacts(farm) };
}

describe('planChanges', () => {
  it('finds none between a plan and itself', () => {
    const plan = compared(kitchen(), [start(sat, 3)], 10);
    expect(planChanges(plan, plan)).toEqual({ starts: [], runs: [], why: [], costBefore: 10, costNow: 10 });
  });

  it('tells what moved and the facts that differ', () => {
    const [run] = kitchen().runs;
    const moved = kitchen({ runs: [{ ...run!, day: calendarDay('2026-12-30'), targetGrams: 1600 }], stock: [] });
    const changes = planChanges(compared(kitchen(), [start(sat, 3)], 10), compared(moved, [start(next, 4)], 12));
    expect(changes.starts).toEqual([
      { ...without(start(sat, 3)), before: 3, now: 0 },
      { ...without(start(next, 4)), before: 0, now: 4 },
    ]);
    expect(changes.runs.map(({ run: id, now }) => [id, now?.day])).toEqual([['run-1', '2026-12-30']]);
    expect(changes.why.map(({ kind }) => kind)).toEqual(['run-moved', 'run-grams', 'jars-ripe']);
  });

  it('does not call a run that is over gone', () => {
    const later = kitchen({ asOf: calendarDay('2026-12-24'), runs: [] });
    const { why, runs } = planChanges(compared(kitchen(), [], 1), compared(later, [], 1));
    expect(why).toEqual([]);
    expect(runs).toEqual([]);
  });
});

const without = ({ containers: _containers, ...rest }: ReturnType<typeof start>) => rest;

describe('supposed', () => {
  it('changes what is supposed and nothing else', () => {
    const farm = kitchen();
    const then = supposed(farm, [
      { kind: 'move-run', runId: 'run-1', day: calendarDay('2027-01-02') },
      { kind: 'lose-jars', codes: ['M-1'] },
      { kind: 'more-cycles', cycles: 1 },
      { kind: 'no-bench', from: sat, until: calendarDay('2026-11-29') },
      { kind: 'fewer-hands', containersPerDay: 3 },
    ]);
    expect(then.runs[0]!.day).toBe('2027-01-02');
    expect(then.stock).toEqual([]);
    expect(then.rhythm).toMatchObject({ cyclesPerPreparationDay: 2, benchContainersPerDay: 4 });
    expect(then.rhythm.closedDays).toEqual(['2026-11-28', '2026-11-29']);
    expect(then.strains).toBe(farm.strains);
    expect(farm).toEqual(kitchen());
  });

  it('takes minutes off the days somebody is away, from what those days had, and never below none', () => {
    const farm = kitchen();
    const rhythm = { ...farm.rhythm, benchMinutesPerDay: 90, benchMinutesOnDay: [{ day: next, minutes: 30 }] };
    const fewer = { kind: 'fewer-minutes', days: [next, sat], minutes: 60 } as const;
    const then = supposed({ ...farm, rhythm }, [fewer]);
    expect(then.rhythm).toEqual({
      ...rhythm,
      benchMinutesOnDay: [
        { day: sat, minutes: 30 },
        { day: next, minutes: 0 },
      ],
    });
    expect(() => supposed(farm, [fewer])).toThrow('Nobody has said');
  });

  it('refuses what speaks of something that is not there', () => {
    expect(() => supposed(kitchen(), [{ kind: 'move-run', runId: 'nobody', day: sat }])).toThrow(
      'no planned run nobody',
    );
    expect(() => supposed(kitchen(), [{ kind: 'lose-jars', codes: ['M-1', 'M-9'] }])).toThrow('no usable jar M-9');
    expect(() => supposed(kitchen(), [{ kind: 'no-bench', from: next, until: sat }])).toThrow('no span');
  });
});
