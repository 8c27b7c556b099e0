import { describe, expect, it } from '@jest/globals';
import { kitchen } from '../../../../tests/reference/planning-kitchen.js';
import { calendarDay } from '../calendar/calendar-day.js';
import { benchMinutesOf, isAwayOn, rhythmOfPeople } from './bench-time.js';

const day = calendarDay;
const WEDNESDAYS = ['2026-12-02', '2026-12-09', '2026-12-16'].map(day);
const ADA = { benchMinutes: 120, away: [{ firstDay: day('2026-12-07'), lastDay: day('2026-12-09') }] };
const BEN = { benchMinutes: 60, away: [{ firstDay: day('2026-12-09'), lastDay: day('2026-12-16') }] };
const SILENT = { benchMinutes: null, away: [] };

describe('bench minutes of people', () => {
  it('are the farm’s own number while nobody’s are said', () => {
    expect(benchMinutesOf([SILENT, SILENT], WEDNESDAYS)).toBeNull();
    expect(benchMinutesOf([], WEDNESDAYS)).toBeNull();
  });

  it('add up over those who are there, and name only the days that differ', () => {
    expect(benchMinutesOf([ADA, BEN, SILENT], WEDNESDAYS)).toEqual({
      perDay: 180,
      onDay: [
        { day: '2026-12-09', minutes: 0 },
        { day: '2026-12-16', minutes: 120 },
      ],
    });
  });

  it('count somebody who says none at the bench, which is not the same as saying nothing', () => {
    expect(benchMinutesOf([{ benchMinutes: 0, away: [] }], WEDNESDAYS)).toEqual({ perDay: 0, onDay: [] });
  });

  it('stand in the farm’s rhythm in the place of its one number, and leave it alone while nobody’s are said', () => {
    const { rhythm } = kitchen();
    expect(rhythmOfPeople(rhythm, [SILENT], WEDNESDAYS)).toBe(rhythm);
    expect(rhythmOfPeople(rhythm, [{ ...ADA, away: [] }], WEDNESDAYS)).toEqual({ ...rhythm, benchMinutesPerDay: 120 });
    expect(rhythmOfPeople(rhythm, [ADA], WEDNESDAYS)).toEqual({
      ...rhythm,
      benchMinutesPerDay: 120,
      benchMinutesOnDay: [{ day: '2026-12-09', minutes: 0 }],
    });
  });

  it('count the first and the last day away as away', () => {
    const away = [{ firstDay: day('2026-12-02'), lastDay: day('2026-12-04') }];
    expect(['2026-12-01', '2026-12-02', '2026-12-04', '2026-12-05'].map((each) => isAwayOn(away, day(each)))).toEqual([
      false,
      true,
      true,
      false,
    ]);
  });
});
