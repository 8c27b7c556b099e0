import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { addDays, calendarDay } from '../calendar/calendar-day.js';
import { type ContainerGroup, stockRows } from './stock-rows.js';

const rules = { daysToRipe: 14, warmLifeDays: 14, coldLifeDays: 60, openedLifeDays: 2, cultureLifeDays: 180 };
const asOf = calendarDay('2026-11-25');

const group = fc
  .record({
    strainId: fc.constantFrom('a', 'b'),
    generation: fc.integer({ min: 0, max: 3 }),
    state: fc.constantFrom('incubating', 'ripe', 'chilled', 'opened', 'contaminated'),
    ageDays: fc.integer({ min: 0, max: 120 }),
    count: fc.integer({ min: 1, max: 40 }),
    grams: fc.integer({ min: 0, max: 40_000 }),
  })
  .map(
    ({ ageDays, ...rest }): ContainerGroup => ({
      ...rest,
      keptAsMothers: Math.min(1, rest.count),
      madeOn: addDays(asOf, -ageDays),
      ripeOn: null,
      chilledOn: rest.state === 'chilled' ? addDays(asOf, -Math.floor(ageDays / 2)) : null,
      warmedOn: null,
      openedOn: rest.state === 'opened' ? asOf : null,
    }),
  );

const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);

describe('stockRows', () => {
  it('loses no container and no gram, in the rows, the ages and the freshness', () => {
    fc.assert(
      fc.property(fc.array(group, { maxLength: 30 }), (groups) => {
        const rows = stockRows(groups, () => rules, asOf);
        const count = sum(groups.map((one) => one.count));
        expect(sum(rows.map((row) => row.count))).toBe(count);
        expect(sum(rows.flatMap((row) => row.ages.map((band) => band.count)))).toBe(count);
        expect(sum(rows.flatMap((row) => Object.values(row.freshness)))).toBe(count);
        expect(sum(rows.map((row) => row.grams))).toBe(sum(groups.map((one) => one.grams)));
        expect(new Set(rows.map((row) => `${row.strainId} ${row.generation} ${row.state}`)).size).toBe(rows.length);
      }),
    );
  });

  it('counts ages in whole weeks and names the first day that matters', () => {
    const base = {
      strainId: 'a',
      generation: 1,
      grams: 600,
      keptAsMothers: 0,
      count: 1,
      chilledOn: null,
      warmedOn: null,
      openedOn: null,
    };
    const rows = stockRows(
      [
        { ...base, state: 'ripe', madeOn: calendarDay('2026-11-04'), ripeOn: calendarDay('2026-11-18') },
        { ...base, state: 'ripe', madeOn: calendarDay('2026-11-05'), ripeOn: calendarDay('2026-11-17'), count: 2 },
        { ...base, state: 'incubating', madeOn: calendarDay('2026-11-24'), ripeOn: null },
      ],
      () => rules,
      asOf,
    );
    expect(rows.map((row) => row.state)).toEqual(['incubating', 'ripe']);
    expect(rows[0]).toMatchObject({
      firstRipeOn: '2026-12-08',
      firstExpiresOn: null,
      ages: [{ fromWeek: 0, count: 1 }],
    });
    expect(rows[1]).toMatchObject({
      count: 3,
      firstRipeOn: null,
      firstExpiresOn: '2026-12-01',
      ages: [
        { fromWeek: 2, count: 2 },
        { fromWeek: 3, count: 1 },
      ],
    });
  });
});
