import { calendarDay } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import { countFromColumn, dayFromColumn, dayFromColumnOrNull, dayToColumn, dayToColumnOrNull } from './columns.js';

describe('calendar days in columns', () => {
  it.each(['2026-11-25', '2024-02-29', '1999-12-31', '2026-03-29', '2026-10-25'])('%s comes back as it went', (day) => {
    expect(dayFromColumn(dayToColumn(calendarDay(day)))).toBe(day);
  });

  it('is midnight UTC in the column whatever the machine’s zone, so that no day shifts', () => {
    expect(dayToColumn(calendarDay('2026-11-25')).toISOString()).toBe('2026-11-25T00:00:00.000Z');
  });

  it('no day stays no day', () => {
    expect(dayFromColumnOrNull(null)).toBeNull();
    expect(dayToColumnOrNull(null)).toBeNull();
  });
});

describe('countFromColumn', () => {
  it('gives the number, and refuses one that a number cannot hold exactly', () => {
    expect(countFromColumn(42n)).toBe(42);
    expect(() => countFromColumn(2n ** 53n)).toThrow(RangeError);
  });
});
