import { describe, expect, it } from '@jest/globals';
import { kitchen } from '../../../../tests/reference/planning-kitchen.js';
import { calendarDay } from '../calendar/calendar-day.js';
import { checkPlan } from './check-plan.js';
import { planSpawn } from './plan-spawn.js';
import type { FarmSituation, WorkRhythm } from './situation.js';

const day = calendarDay;
/** The kitchen starts three jars on this Saturday, five minutes each; the one before would do too. */
const LAST = day('2026-12-05');
const BEFORE = day('2026-11-28');
const PROVE = { exact: 'always', guardMs: 60_000 } as const;

const farmWith = (rhythm: Partial<WorkRhythm>): FarmSituation =>
  kitchen({ rhythm: { ...kitchen().rhythm, ...rhythm } });

async function startsOf(farm: FarmSituation, options: Parameters<typeof planSpawn>[1] = {}) {
  const plan = await planSpawn(farm, options);
  expect(checkPlan(farm, plan).faults).toEqual([]);
  return plan.starts.map(({ benchDay, containers }) => ({ benchDay, containers }));
}

describe.each([
  ['searched', {}],
  ['solved exactly', PROVE],
])('minutes of single bench days, %s', (_, options) => {
  it('keep a start off a day on which nobody is there', async () => {
    expect(await startsOf(farmWith({}), options)).toEqual([{ benchDay: LAST, containers: 3 }]);
    const away = farmWith({ benchMinutesOnDay: [{ day: LAST, minutes: 0 }] });
    expect(await startsOf(away, options)).toEqual([{ benchDay: BEFORE, containers: 3 }]);
  });

  it('split a start between a short day and the one before', async () => {
    const short = farmWith({ benchMinutesPerDay: 60, benchMinutesOnDay: [{ day: LAST, minutes: 11 }] });
    const starts = await startsOf(short, options);
    expect(starts.find(({ benchDay }) => benchDay === LAST)?.containers ?? 0).toBeLessThanOrEqual(2);
    expect(starts.reduce((sum, { containers }) => sum + containers, 0)).toBe(3);
  });

  it('give a day more than the others have', async () => {
    const more = farmWith({ benchMinutesPerDay: 0, benchMinutesOnDay: [{ day: LAST, minutes: 15 }] });
    expect(await startsOf(more, options)).toEqual([{ benchDay: LAST, containers: 3 }]);
  });

  it('change no plan when none is named or they say what the day has anyway, so that the model version stands', async () => {
    // Byte for byte: a farm that says nothing of its people must not get another plan for the same facts.
    const plain = JSON.stringify(await planSpawn(farmWith({ benchMinutesPerDay: 20 }), options));
    const empty = farmWith({ benchMinutesPerDay: 20, benchMinutesOnDay: [] });
    const same = farmWith({ benchMinutesPerDay: 20, benchMinutesOnDay: [{ day: LAST, minutes: 20 }] });
    expect(JSON.stringify(await planSpawn(empty, options))).toBe(plain);
    expect(JSON.stringify(await planSpawn(same, options))).toBe(plain);
  });
});

describe('the independent checker', () => {
  it('finds a start that the minutes of its day do not allow', async () => {
    const plan = await planSpawn(farmWith({}), PROVE);
    const short = farmWith({ benchMinutesOnDay: [{ day: LAST, minutes: 14 }] });
    expect(checkPlan(short, plan).faults).toContain(`${LAST}: 15 bench minutes`);
  });
});

describe('a situation', () => {
  it.each([
    ['a day twice', [LAST, LAST].map((each) => ({ day: each, minutes: 1 })), 'two of bench day'],
    ['minutes below none', [{ day: LAST, minutes: -1 }], 'minutes'],
    ['a day that does not exist', [{ day: '2026-02-30' as typeof LAST, minutes: 1 }], 'bench minutes'],
  ])('is refused with %s', async (_, benchMinutesOnDay, fault) => {
    await expect(planSpawn(farmWith({ benchMinutesOnDay }))).rejects.toThrow(fault);
  });
});
