import { describe, expect, it } from '@jest/globals';
import { calendarDay } from '../calendar/calendar-day.js';
import type { PlannedUse } from '../planning/plan.js';
import { expiringWithin, plannedFateOf, stockTotals } from './ageing.js';

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

describe('plannedFateOf', () => {
  const use = (from: string, on: string, to: PlannedUse['to']): PlannedUse => {
    const day = calendarDay(on);
    return { day, from, grams: 100, to, cold: false, opened: 1, openedOn: day };
  };
  const plan = {
    uses: [
      use('m', '2026-12-01', { kind: 'start', start: 's' }),
      use('m', '2026-11-27', { kind: 'start', start: 't' }),
      use('r', '2026-11-25', { kind: 'start', start: 's' }),
      use('r', '2026-12-02', { kind: 'run', run: 'late' }),
      use('r', '2026-11-28', { kind: 'run', run: 'x' }),
    ],
  };

  it('names the first run and its day before mothering, and nothing when the plan leaves it', () => {
    expect(['m', 'r', 'z'].map((code) => plannedFateOf(plan, code))).toEqual([
      { kind: 'mother', day: '2026-11-27', run: null },
      { kind: 'run', day: '2026-11-28', run: 'x' },
      { kind: 'none', day: null, run: null },
    ]);
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
