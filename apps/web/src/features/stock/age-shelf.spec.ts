import type { StockOverview, StockRow } from '@jarfold/contracts';
import { calendarDay } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import { ageShelves, glassesOf, jarsPerGlass } from './age-shelf.js';

const row = (values: Partial<StockRow>): StockRow => ({
  strainId: 'a',
  strainCode: 'OY3',
  strainName: 'Oyster',
  generation: 1,
  state: 'ripe',
  count: 0,
  grams: 0,
  keptAsMothers: 0,
  ages: [],
  freshness: { growing: 0, good: 0, soon: 0, past: 0, none: 0 },
  firstRipeOn: null,
  firstExpiresOn: null,
  ...values,
});

const overview = (rows: StockRow[]): StockOverview => ({
  asOf: calendarDay('2026-11-25'),
  rows,
  totals: { count: 0, grams: 0 },
});

describe('stock laid out by age', () => {
  const rows = [
    row({ count: 14, grams: 7000, ages: [{ fromWeek: 2, count: 14, grams: 7000 }] }),
    row({ state: 'contaminated', count: 1, ages: [{ fromWeek: 2, count: 1, grams: 0 }] }),
    row({ strainId: 'b', strainCode: 'SH1', generation: 2, count: 3, ages: [{ fromWeek: 5, count: 3, grams: 900 }] }),
  ];

  it('every strain has a shelf of the same length', () => {
    const shelves = ageShelves(overview(rows), null);
    expect(shelves.map((shelf) => shelf.strainCode)).toEqual(['OY3', 'SH1']);
    expect(shelves.map((shelf) => shelf.weeks.length)).toEqual([6, 6]);
    expect(shelves[0]?.weeks[2]?.jars).toBe(15);
    expect(shelves[0]?.jars).toBe(15);
  });

  it('a chosen generation leaves the others out', () => {
    expect(ageShelves(overview(rows), 2).map((shelf) => shelf.strainCode)).toEqual(['SH1']);
  });

  it('no stack is much higher than six glasses, and one bad jar among many is still drawn', () => {
    const shelves = ageShelves(overview(rows), null);
    const perGlass = jarsPerGlass(shelves);
    expect(perGlass).toBe(5);
    expect(glassesOf(shelves[0]!.weeks[2]!, perGlass)).toEqual(['ripe', 'ripe', 'ripe', 'contaminated']);
  });

  it('few jars are drawn one by one', () => {
    expect(jarsPerGlass(ageShelves(overview([row({ ages: [{ fromWeek: 0, count: 6, grams: 1 }] })]), null))).toBe(1);
    expect(jarsPerGlass([])).toBe(1);
  });
});
