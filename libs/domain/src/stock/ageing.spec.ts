import { describe, expect, it } from '@jest/globals';
import { calendarDay } from '../calendar/calendar-day.js';
import type { PlannedUse } from '../planning/plan.js';
import { expiringWithin, plannedUseOf, stockTotals } from './ageing.js';

describe('expiringWithin', () => {
  it('takes what expires in time or has, oldest first, and never what still grows', () => {
    const containers = [
      { code: 'b', daysLeft: 3 },
      { code: 'd', daysLeft: null },
      { code: 'c', daysLeft: -2 },
      { code: 'e', daysLeft: 15 },
      { code: 'a', daysLeft: 3 },
    ];
    expect(expiringWithin(containers, 14).map(({ code }) => code)).toEqual(['c', 'a', 'b']);
  });
});

describe('plannedUseOf', () => {
  const use = (from: string, to: PlannedUse['to']): PlannedUse => ({
    ...{
      day: calendarDay('2026-11-25'),
      from,
      grams: 100,
      to,
      cold: false,
      opened: 1,
      openedOn: calendarDay('2026-11-25'),
    },
  });
  const plan = {
    uses: [
      use('m', { kind: 'start', start: 's' }),
      use('r', { kind: 'start', start: 's' }),
      use('r', { kind: 'run', run: 'x' }),
    ],
  };

  it('names a run before mothering, and nothing when the plan leaves it', () => {
    expect(['m', 'r', 'z'].map((code) => plannedUseOf(plan, code))).toEqual(['mother', 'run', 'none']);
  });
});

describe('stockTotals', () => {
  it('adds up, and is nothing for nothing', () => {
    expect(stockTotals([])).toEqual({ count: 0, grams: 0 });
    expect(
      stockTotals([
        { count: 2, grams: 10 },
        { count: 1, grams: 5 },
      ]),
    ).toEqual({ count: 3, grams: 15 });
  });
});
