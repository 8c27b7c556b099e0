import { type CalendarDay, calendarDay, dayFromNumber, dayNumber } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { dayOfSerial, serialOfDay } from './serial-day.js';

describe('dayOfSerial', () => {
  it.each([
    // ECMA-376 part 1, 18.17.4.1: serial 1 is 1 January 1900, or 2 January 1904 in the other system.
    [1, false, '1900-01-01'],
    [1, true, '1904-01-02'],
    [0, true, '1904-01-01'],
    [59, false, '1900-02-28'],
    [61, false, '1900-03-01'],
    [45000, false, '2023-03-15'],
    [45000, true, '2027-03-16'],
  ])('reads %d (1904 system: %s) as %s', (serial, date1904, expected) => {
    expect(dayOfSerial(serial, date1904)).toBe(expected);
  });

  it.each([
    [60, 'the 29 February 1900 that never was'],
    [0, 'the day before the first'],
    [-5, 'a negative number'],
    [3_000_000, 'a day after the year 2999'],
    [Number.NaN, 'no number'],
  ])('has no day for %d, %s', (serial) => {
    expect(dayOfSerial(serial, false)).toBeNull();
  });

  it('drops the time of day, and counts a rounding error short of midnight as the next day', () => {
    expect(dayOfSerial(45000.75, false)).toBe('2023-03-15');
    expect(dayOfSerial(45000.999999999, false)).toBe('2023-03-16');
    expect(dayOfSerial(45000.99998, false)).toBe('2023-03-15');
  });

  it('is the inverse of serialOfDay from March 1900 to 2999', () => {
    const days = fc
      .integer({ min: dayNumber(calendarDay('1900-03-01')), max: dayNumber(calendarDay('2999-12-31')) })
      .map((number): CalendarDay => dayFromNumber(number));
    fc.assert(fc.property(days, (day) => dayOfSerial(serialOfDay(day), false) === day));
  });
});
