import { describe, expect, it } from '@jest/globals';
import { benchDaysFrom } from './bench-days.js';
import { calendarDay, daysFromTo } from './calendar-day.js';

const day = calendarDay;

describe('days in a row', () => {
  it('hold both ends, over the turn of a year', () => {
    expect(daysFromTo(day('2026-12-30'), day('2027-01-01'))).toEqual(['2026-12-30', '2026-12-31', '2027-01-01']);
    expect(daysFromTo(day('2026-12-30'), day('2026-12-30'))).toEqual(['2026-12-30']);
  });

  it('are none when the end lies before the beginning', () => {
    expect(daysFromTo(day('2026-12-30'), day('2026-12-28'))).toEqual([]);
  });
});

describe('bench days', () => {
  it('are of bench weekdays that are not closed, the last day of the horizon among them', () => {
    const rhythm = { benchWeekdays: [3 as const], closedDays: [day('2026-12-09')] };
    expect(benchDaysFrom(rhythm, day('2026-12-02'), 14)).toEqual(['2026-12-02', '2026-12-16']);
  });
});
