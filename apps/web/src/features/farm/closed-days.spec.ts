import { calendarDay } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import { closedPeriods, readPeriod, withoutPeriod, withPeriod } from './closed-days.js';

const days = (...texts: string[]) => texts.map(calendarDay);
const period = (first: string, last: string) => ({ firstDay: calendarDay(first), lastDay: calendarDay(last) });

describe('closed days', () => {
  it('are told as periods, over the turn of a month and a year', () => {
    expect(closedPeriods(days('2027-01-01', '2026-12-31', '2026-12-30', '2026-12-30', '2027-01-03'))).toEqual([
      period('2026-12-30', '2027-01-01'),
      period('2027-01-03', '2027-01-03'),
    ]);
    expect(closedPeriods([])).toEqual([]);
  });

  it('take a period in once, and let it go again', () => {
    const closed = withPeriod(days('2026-12-24'), period('2026-12-24', '2026-12-26'));
    expect(closed).toEqual(days('2026-12-24', '2026-12-25', '2026-12-26'));
    expect(withoutPeriod([...closed, calendarDay('2027-05-01')], period('2026-12-24', '2026-12-26'))).toEqual(
      days('2027-05-01'),
    );
  });

  it('of one day need no last day', () => {
    expect(readPeriod('2026-12-24', '')).toEqual(period('2026-12-24', '2026-12-24'));
    expect(readPeriod('2026-12-24', '2026-12-26')).toEqual(period('2026-12-24', '2026-12-26'));
  });

  it.each([
    ['', '', 'farm.closedNoDay'],
    ['', '2026-12-24', 'farm.closedNoDay'],
    ['2026-02-30', '', 'farm.closedNoDay'],
    ['2026-12-24', '2026-12-23', 'farm.closedBackwards'],
    ['2026-12-24', '2036-12-26', 'farm.closedTooLong'],
  ] as const)('from %p to %p are refused: %s', (first, last, why) => {
    expect(readPeriod(first, last)).toBe(why);
  });
});
