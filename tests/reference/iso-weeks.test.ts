import { calendarDay, dayFromNumber, dayNumber, formatIsoWeek, isoWeek, isoWeekday, mondayOf } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';

/**
 * ISO 8601 by another road than the product's: the week from the ordinal day and the weekday, and the number of weeks of
 * a year from the weekday of its 31 December.
 * Source: ISO 8601-1:2019, 4.3.5 (a year's first week holds its first Thursday); the closed form
 * `floor((ordinal − weekday + 10) / 7)` with the leap rule of 4.2.1, from memory. Weekdays are the engine's own (ECMA-262,
 * 21.4.1.6).
 */
function weekByOrdinal(year: number, month: number, day: number): { readonly year: number; readonly week: number } {
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const before = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];
  const ordinal = before[month - 1]! + day + (leap && month > 2 ? 1 : 0);
  const weekday = new Date(Date.UTC(year, month - 1, day)).getUTCDay() || 7;
  const week = Math.floor((ordinal - weekday + 10) / 7);
  if (week < 1) return { year: year - 1, week: weeksOf(year - 1) };
  return week > weeksOf(year) ? { year: year + 1, week: 1 } : { year, week };
}

const lastWeekday = (year: number): number =>
  (year + Math.floor(year / 4) - Math.floor(year / 100) + Math.floor(year / 400)) % 7;
const weeksOf = (year: number): number => (lastWeekday(year) === 4 || lastWeekday(year - 1) === 3 ? 53 : 52);

describe('ISO weeks', () => {
  it('of every day from 1970 to 2100 are those of the closed form', () => {
    const last = dayNumber(calendarDay('2100-12-31'));
    const wrong: string[] = [];
    for (let n = 0; n <= last; n++) {
      const day = dayFromNumber(n);
      const [year, month, date] = day.split('-').map(Number) as [number, number, number];
      const expected = weekByOrdinal(year, month, date);
      const found = isoWeek(day);
      if (found.year !== expected.year || found.week !== expected.week) wrong.push(`${day} ${formatIsoWeek(found)}`);
    }
    expect(last).toBe(47_846);
    expect(wrong).toEqual([]);
  });

  it('have 71 years of 53 weeks in 400, as the calendar repeats', () => {
    const long = Array.from({ length: 400 }, (_, i) => 2000 + i).filter((year) => weeksOf(year) === 53);
    expect(long).toHaveLength(71);
    expect(isoWeek(calendarDay('2026-12-31'))).toEqual({ year: 2026, week: 53 });
  });

  it('begin on a Monday', () => {
    for (let n = 0; n < 47_846; n += 13) expect(isoWeekday(mondayOf(dayFromNumber(n)))).toBe(1);
  });
});
