import { describe, expect, it } from '@jest/globals';
import { calendarDay } from '../calendar/calendar-day.js';
import { type GrainStockEntry, grainOnHand, grainOutlook } from './grain-stock.js';

const counted = (massG: number, atMs: number): GrainStockEntry => ({ kind: 'counted', massG, atMs });
const bought = (massG: number, atMs: number): GrainStockEntry => ({ kind: 'bought', massG, atMs });
const need = (day: string, massG: number) => ({ day: calendarDay(day), massG });

describe('grain on hand', () => {
  it('is not known before a first count, whatever was bought', () => {
    expect(grainOnHand([bought(25_000, 1)], [])).toEqual({ state: 'not-counted' });
  });

  it('is the newest count, more what was bought and less what was soaked since', () => {
    const entries = [counted(40_000, 10), bought(25_000, 5), bought(25_000, 20), counted(1, 2)];
    const taken = [
      { massG: 9_000, atMs: 9 },
      { massG: 7_500, atMs: 11 },
      { massG: null, atMs: 12 },
    ];
    expect(grainOnHand(entries, taken)).toEqual({
      state: 'known',
      onHandG: 57_500,
      account: { countedAtMs: 10, countedG: 40_000, boughtG: 25_000, soakedG: 7_500, unweighed: 1 },
    });
  });

  it('is out of date, and never negative, when more was soaked than there can have been', () => {
    const soaked = grainOnHand([counted(5_000, 1)], [{ massG: 5_001, atMs: 2 }]);
    expect(soaked).toMatchObject({ state: 'out-of-date', account: { soakedG: 5_001 } });
    expect(soaked).not.toHaveProperty('onHandG');
    expect(grainOnHand([counted(5_000, 1)], [{ massG: 5_000.2, atMs: 2 }])).toMatchObject({
      state: 'known',
      onHandG: 0,
    });
  });

  it('takes the later of two counts at one moment', () => {
    expect(grainOnHand([counted(1, 3), counted(2, 3)], [])).toMatchObject({ onHandG: 2 });
  });
});

describe('how far grain reaches', () => {
  const when = { today: calendarDay('2026-12-01'), sunday: calendarDay('2026-12-06'), underWayG: 0 };
  const needs = [
    need('2026-12-15', 6_000),
    need('2026-12-08', 6_000),
    need('2026-12-01', 6_000),
    need('2026-12-29', 1),
  ];

  it('names the first preparation it does not reach for, and the day before it to buy by', () => {
    expect(grainOutlook(12_000, needs, when)).toEqual({
      ...{ thisWeekG: 6_000, fourWeeksG: 18_000, missingG: 6_000 },
      runsOutOn: '2026-12-15',
      buyBy: '2026-12-14',
    });
  });

  it('says what is needed, and no more, while nobody knows what there is', () => {
    expect(grainOutlook(null, needs, when)).toEqual({
      ...{ thisWeekG: 6_000, fourWeeksG: 18_000 },
      ...{ missingG: null, runsOutOn: null, buyBy: null },
    });
  });

  it('says today when it does not reach for today', () => {
    expect(grainOutlook(0, needs, when)).toMatchObject({ runsOutOn: '2026-12-01', buyBy: '2026-12-01' });
  });

  it('looks past the four weeks for the day it runs out, and to their last Sunday for what to buy', () => {
    expect(grainOutlook(18_000, needs, when)).toMatchObject({ missingG: 0, runsOutOn: '2026-12-29' });
    expect(grainOutlook(18_001, needs, when)).toMatchObject({ missingG: 0, runsOutOn: null, buyBy: null });
    expect(grainOutlook(0, [need('2026-12-27', 10), need('2026-12-28', 20)], when).fourWeeksG).toBe(10);
  });

  it('needs no more what is soaked already, and nothing of days past', () => {
    const underWay = { ...when, underWayG: 7_000 };
    expect(grainOutlook(11_000, [need('2026-11-30', 9_000), ...needs], underWay)).toMatchObject({
      ...{ thisWeekG: 0, fourWeeksG: 11_000, missingG: 0, runsOutOn: '2026-12-29' },
    });
  });
});
