import { describe, expect, it } from '@jest/globals';
import { dayOfCount, dayReadings, possibleDays } from './written-day.js';
import { isTwoNumbers, numberReadings } from './written-number.js';

describe('a number written as text', () => {
  it.each([
    ['1.234', 1.234, 1234],
    ['1,234', 1234, 1.234],
    ['1,5', null, 1.5],
    ['1.5', 1.5, null],
    ['0.500', 0.5, null],
    ['1.234,5', null, 1234.5],
    ['1,234.5', 1234.5, null],
    ['1234.567', 1234.567, null],
    ['1.234.567', null, 1234567],
    ["12'345", 12345, 12345],
    ['−3', -3, -3],
    ['.5', 0.5, null],
  ])('%s is %p with a point and %p with a comma', (text, point, comma) => {
    expect(numberReadings(text)).toMatchObject({ point, comma });
  });

  it('has two readings only when they differ', () => {
    expect(isTwoNumbers(numberReadings('1.234')!)).toBe(true);
    expect(isTwoNumbers(numberReadings('500')!)).toBe(false);
  });

  it('keeps what stands behind it, and is none when it begins with words', () => {
    expect(numberReadings('1,5 kg')).toEqual({ point: null, comma: 1.5, behind: 'kg' });
    expect(numberReadings('about 5')).toBeNull();
    expect(numberReadings('1.2.3')).toBeNull();
  });
});

describe('a day written as text', () => {
  it.each([
    ['2026-11-25', '2026-11-25'],
    ['2026/1/5 14:30', '2026-01-05'],
    ['20261125', '2026-11-25'],
    ['25 Nov 2026', '2026-11-25'],
    ['25. November 2026', '2026-11-25'],
    ['Nov 25, 2026', '2026-11-25'],
    ['5. März 2026', '2026-03-05'],
    ['Wed, 25 Nov 2026', '2026-11-25'],
  ])('%s is one day', (text, day) => {
    expect(dayReadings(text)).toEqual({ certain: day });
  });

  it.each([
    ['03/04/2026', ['2026-04-03', '2026-03-04']],
    ['25/11/2026', ['2026-11-25']],
    ['05.11.26', ['2026-11-05', '2026-05-11', '2005-11-26']],
    ['25.11.26', ['2026-11-25', '2025-11-26']],
    ['5-Nov-26', ['2026-11-05', '2005-11-26']],
  ])('%s may be %p', (text, days) => {
    expect([...possibleDays(dayReadings(text)!)].sort()).toEqual([...days].sort());
  });

  it.each(['31/02/2026', '5 Nov', 'soon', '', '12:30', '99-99-99'])('%p is none', (text) => {
    expect(dayReadings(text)).toBeNull();
  });

  // ECMA-376 part 1, 18.17.4.1: serial 45000 is 15 March 2023 in the 1900 system and 16 March 2027 in the 1904 system.
  it('counts from 1900 or from 1904', () => {
    expect(dayOfCount(45000, '1900')).toBe('2023-03-15');
    expect(dayOfCount(45000.75, '1904')).toBe('2027-03-16');
    expect(dayOfCount(12, '1900')).toBeNull();
  });
});
