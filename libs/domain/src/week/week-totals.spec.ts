import { describe, expect, it } from '@jest/globals';
import { calendarDay, dayOfIsoWeek, formatIsoWeek, isoWeek } from '../calendar/calendar-day.js';
import { weekTotals } from './week-totals.js';

describe('weekTotals', () => {
  it('adds up jars, cycles, grain and water', () => {
    const grain = { dryGrainG: 2000, cookingWaterMl: 3000 };
    const preparations = [
      { cycles: 1, grain },
      { cycles: 2, grain },
    ];
    expect(weekTotals({ benchDays: [{ containers: 7 }, { containers: 5 }], preparations })).toEqual({
      starts: 12,
      cycles: 3,
      dryGrainG: 4000,
      cookingWaterMl: 6000,
    });
  });
});

describe('dayOfIsoWeek', () => {
  it('is the Monday of the week, also in years of 53 weeks and at the turn of the year', () => {
    expect(dayOfIsoWeek('2026-W53')).toBe('2026-12-28');
    expect(dayOfIsoWeek('2025-W01')).toBe('2024-12-30');
    for (const day of ['2026-11-23', '2027-01-04', '2024-12-30'].map(calendarDay)) {
      expect(dayOfIsoWeek(formatIsoWeek(isoWeek(day)))).toBe(day);
    }
  });

  it('refuses a week 53 in a year that has none', () => {
    expect(() => dayOfIsoWeek('2025-W53')).toThrow('2025-W53');
  });
});
