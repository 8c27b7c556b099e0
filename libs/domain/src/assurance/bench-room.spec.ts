import { describe, expect, it } from '@jest/globals';
import { kitchen } from '../../../../tests/reference/planning-kitchen.js';
import { calendarDay } from '../calendar/calendar-day.js';
import type { FarmSituation, StandingStart, WorkRhythm } from '../planning/situation.js';
import { benchHasRoom } from './bench-room.js';
import { usualChance } from './farm-chance.js';
import { planWithAssurance } from './plan-with-assurance.js';

const LAST = calendarDay('2026-12-05');
const QUICK = { exact: 'never', draws: 200, searchDraws: 100, trials: 100 } as const;

const start = (containers: number, hold: StandingStart['hold']): StandingStart => ({
  ...{ benchDay: LAST, strainId: 'oyster', generation: 2, sizeId: 'jar' },
  ...{ containers, hold },
});
const farmWith = (rhythm: Partial<WorkRhythm>, standing: readonly StandingStart[] = []): FarmSituation =>
  kitchen({ rhythm: { ...kitchen().rhythm, ...rhythm }, standing });

describe('the bench', () => {
  it('has room for what stands while its day takes so many', () => {
    const fifteen = { benchMinutesOnDay: [{ day: LAST, minutes: 15 }] };
    expect(benchHasRoom(farmWith(fifteen, [start(3, 'accepted')]))).toBe(true);
    expect(benchHasRoom(farmWith(fifteen, [start(4, 'accepted')]))).toBe(false);
    expect(benchHasRoom(farmWith({ benchContainersPerDay: 3 }, [start(4, 'accepted')]))).toBe(false);
  });

  it('turns away nothing that is prepared or pinned, and counts it', () => {
    const five = { benchMinutesOnDay: [{ day: LAST, minutes: 5 }] };
    expect(benchHasRoom(farmWith(five, [start(4, 'prepared')]))).toBe(true);
    expect(benchHasRoom(farmWith(five, [start(4, 'pinned'), start(1, 'accepted')]))).toBe(false);
  });
});

describe('a plan that stands', () => {
  it('gives up a start that nobody is there for any more, and keeps it while somebody is', async () => {
    const plan = await planWithAssurance(farmWith({}), usualChance(kitchen()), QUICK);
    const standing = plan.starts.map(({ benchDay, strainId, generation, sizeId, containers }): StandingStart => {
      return { ...{ benchDay, strainId, generation, sizeId, containers }, hold: 'accepted' };
    });
    const [{ benchDay: day } = { benchDay: LAST }] = standing;
    const onDay = async (minutes: number) => {
      const farm = farmWith({ benchMinutesOnDay: [{ day, minutes }] }, standing);
      const { starts } = await planWithAssurance(farm, usualChance(kitchen()), QUICK);
      return starts.filter(({ benchDay }) => benchDay === day).reduce((sum, { containers }) => sum + containers, 0);
    };
    expect(await onDay(35)).toBeGreaterThan(0);
    expect(await onDay(0)).toBe(0);
  });
});
