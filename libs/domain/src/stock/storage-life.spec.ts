import { describe, expect, it } from '@jest/globals';
import { calendarDay } from '../calendar/calendar-day.js';
import { type ContainerDays, drawnShare, storageLife, warmLifeFrom } from './storage-life.js';

const rules = { daysToRipe: 14, warmLifeDays: 14, coldLifeDays: 60, openedLifeDays: 2, cultureLifeDays: 180 };
const day = calendarDay;
const asOf = day('2026-11-25');

function container(changes: Partial<ContainerDays>): ContainerDays {
  return {
    state: 'ripe',
    generation: 1,
    madeOn: day('2026-11-01'),
    ripeOn: null,
    chilledOn: null,
    warmedOn: null,
    openedOn: null,
    ...changes,
  };
}

describe('storageLife', () => {
  it('a growing container has an expected day of ripeness and no expiry yet', () => {
    expect(storageLife(container({ state: 'incubating', madeOn: day('2026-11-20') }), rules, asOf)).toEqual({
      ripeOn: '2026-12-04',
      ripeExpected: true,
      expiresOn: null,
      daysLeft: null,
      freshness: 'growing',
    });
  });

  it('a ripe one lasts its warm life from the day it was seen ripe', () => {
    const life = storageLife(container({ ripeOn: day('2026-11-16') }), rules, asOf);
    expect(life).toMatchObject({ expiresOn: '2026-11-30', daysLeft: 5, freshness: 'good', ripeExpected: false });
  });

  it('the last quarter of its life is soon, the day after its life is past', () => {
    expect(storageLife(container({ ripeOn: day('2026-11-14') }), rules, asOf).freshness).toBe('soon');
    expect(storageLife(container({ ripeOn: day('2026-11-11') }), rules, asOf)).toMatchObject({
      daysLeft: 0,
      freshness: 'soon',
    });
    expect(storageLife(container({ ripeOn: day('2026-11-10') }), rules, asOf)).toMatchObject({
      daysLeft: -1,
      freshness: 'past',
    });
  });

  it('a chilled one lasts its cold life from the day it was chilled', () => {
    const chilled = container({ state: 'chilled', ripeOn: day('2026-11-10'), chilledOn: day('2026-11-12') });
    expect(storageLife(chilled, rules, asOf)).toMatchObject({ expiresOn: '2027-01-11', freshness: 'good' });
  });

  it('one taken out of the cold has the warm life it had left when it went in', () => {
    const warmed = container({
      ripeOn: day('2026-10-10'),
      chilledOn: day('2026-10-14'),
      warmedOn: day('2026-11-23'),
    });
    expect(warmLifeFrom(warmed, day('2026-10-10'))).toBe('2026-11-19');
    expect(storageLife(warmed, rules, asOf).expiresOn).toBe('2026-12-03');
  });

  it('one taken out of the cold never outlasts its cold life', () => {
    const warmed = container({
      ripeOn: day('2026-09-20'),
      chilledOn: day('2026-09-26'),
      warmedOn: day('2026-11-24'),
    });
    expect(storageLife(warmed, rules, asOf).expiresOn).toBe('2026-11-25');
  });

  it('an opened one must be used within the opened life, and not after it would have expired closed', () => {
    const opened = { state: 'opened', ripeOn: day('2026-11-20'), openedOn: day('2026-11-24') } as const;
    expect(storageLife(container(opened), rules, asOf).expiresOn).toBe('2026-11-26');
    expect(storageLife(container({ ...opened, ripeOn: day('2026-11-10') }), rules, asOf).expiresOn).toBe('2026-11-24');
  });

  it('a culture keeps from the day it was made, cold or warm', () => {
    const culture = container({ state: 'chilled', generation: 0, chilledOn: day('2026-11-20') });
    expect(storageLife(culture, rules, asOf)).toMatchObject({ expiresOn: '2027-04-30', freshness: 'good' });
  });

  it('a contaminated one has no expiry: it is not stock', () => {
    expect(storageLife(container({ state: 'contaminated' }), rules, asOf)).toMatchObject({
      expiresOn: null,
      freshness: 'none',
    });
  });
});

describe('drawnShare', () => {
  const jar = { state: 'incubating', shareColonised: null, madeOn: day('2026-11-18') } as const;

  it('is what was last seen, whatever its age', () => {
    expect(drawnShare({ ...jar, shareColonised: 0.3 }, 14, asOf)).toBe(0.3);
  });

  it('grows with age while nobody looked, and is never full before it was seen ripe', () => {
    expect(drawnShare(jar, 14, asOf)).toBe(0.5);
    expect(drawnShare({ ...jar, madeOn: day('2026-01-01') }, 14, asOf)).toBe(0.95);
    expect(drawnShare({ ...jar, state: 'chilled' }, 14, asOf)).toBe(1);
  });
});
