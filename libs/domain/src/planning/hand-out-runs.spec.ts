import { describe, expect, it } from '@jest/globals';
import { kitchen, stockJar } from '../../../../tests/reference/planning-kitchen.js';
import { calendarDay } from '../calendar/calendar-day.js';
import { acceptSituation } from './accept-situation.js';
import { FarmSearch } from './farm-search.js';
import type { FarmSituation } from './situation.js';
import type { StrainSearch } from './strain-search.js';

/**
 * A jar that expires between two bags, a run that two bags fill exactly, and a reserve of one: in the order of their age,
 * either way round, the jar is opened before the second bag.
 */
function jarBetweenBags(): FarmSituation {
  const one = kitchen();
  const bag = (code: string, ripeOn: string) =>
    stockJar({ code, gramsLeft: 1500, madeOn: calendarDay('2026-10-27'), ripeOn: calendarDay(ripeOn) });
  return kitchen({
    horizonDays: 14,
    rhythm: { ...one.rhythm, benchContainersPerDay: 0 },
    strains: one.strains.map((strain) => ({ ...strain, motherReserve: 1 })),
    stock: [
      bag('B-1', '2026-11-10'),
      stockJar({ code: 'J-1', madeOn: calendarDay('2026-10-30'), ripeOn: calendarDay('2026-11-15') }),
      bag('B-2', '2026-11-20'),
    ],
    runs: one.runs.map((run) => ({
      ...run,
      day: calendarDay('2026-11-27'),
      minGrams: 3000,
      targetGrams: 3000,
      maxGrams: 3000,
    })),
  });
}

function searchOf(situation: FarmSituation): { farm: FarmSearch; search: StrainSearch; jar: number } {
  const farm = new FarmSearch(acceptSituation(situation));
  const search = farm.searches[0]!;
  return { farm, search, jar: search.field.lots.findIndex((lot) => lot.gramsEach === 500) };
}

function opened({ handOut }: StrainSearch): number[] {
  return handOut.opened.lot.slice(0, handOut.opened.size);
}

describe('handing out to runs', () => {
  it('opens what expires first, or what is freshest, and so the jar before the second bag', () => {
    for (const freshFirst of [0, 1]) {
      const { farm, search, jar } = searchOf(jarBetweenBags());
      search.handOut.handling.freshFirst.fill(freshFirst);
      farm.cost();
      expect(opened(search)).toContain(jar);
      expect(search.handOut.covered[0]).toBe(3000);
    }
  });

  it('leaves to the reserve what is kept back, and the run is filled all the same', () => {
    const { farm, search, jar } = searchOf(jarBetweenBags());
    const before = farm.cost();
    search.handOut.handling.keptBack[jar] = 1;
    expect(farm.cost()).toBeLessThan(before);
    expect(opened(search)).not.toContain(jar);
    expect(search.handOut.covered[0]).toBe(3000);
  });

  it('gives the run less rather than what is kept back', () => {
    const { farm, search } = searchOf(jarBetweenBags());
    search.handOut.handling.keptBack.fill(1);
    farm.cost();
    expect(search.handOut.covered[0]).toBe(0);
  });

  it('is tried one by one, also where no draw has found it', () => {
    const { farm, search, jar } = searchOf(jarBetweenBags());
    farm.beginFromStanding();
    expect(opened(search)).toContain(jar);
    expect(search.sweep(Number.POSITIVE_INFINITY)).toBe(true);
    expect(opened(search)).not.toContain(jar);
  });

  it('is searched for: the jar is kept though nothing else is to be decided', () => {
    const { farm, search, jar } = searchOf(jarBetweenBags());
    farm.beginFromStanding();
    farm.improve(400);
    farm.cost();
    expect(opened(search)).not.toContain(jar);
    expect(search.handOut.covered[0]).toBe(3000);
  });
});
