import { describe, expect, it } from '@jest/globals';
import { calendarDay } from '../calendar/calendar-day.js';
import { isStillAhead, remainingDemand } from './remaining-demand.js';

const demand = { minGrams: 1000, targetGrams: 2000, maxGrams: 2500 };

describe('remainingDemand', () => {
  it('asks for less by what was already drawn, and never for less than nothing', () => {
    expect(remainingDemand(demand, 0)).toEqual(demand);
    expect(remainingDemand(demand, 1200)).toEqual({ minGrams: 0, targetGrams: 800, maxGrams: 1300 });
    expect(remainingDemand(demand, 9000)).toEqual({ minGrams: 0, targetGrams: 0, maxGrams: 0 });
  });

  it('refuses grams drawn below zero', () => {
    expect(() => remainingDemand(demand, -1)).toThrow('-1');
  });
});

describe('isStillAhead', () => {
  it('counts the days a run may be put off', () => {
    const run = { day: calendarDay('2026-11-23'), slackDays: 2 };
    expect(isStillAhead(run, calendarDay('2026-11-25'))).toBe(true);
    expect(isStillAhead(run, calendarDay('2026-11-26'))).toBe(false);
  });
});
