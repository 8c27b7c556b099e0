import { describe, expect, it } from '@jest/globals';
import { findTables } from './find-tables.js';
import { sheetOf } from './sheet.test-support.js';

const tablesOf = (...sheets: Parameters<typeof sheetOf>[]) =>
  findTables({ sheets: sheets.map((each) => sheetOf(...each)) });

describe('the tables of an old spreadsheet', () => {
  it('has its headings below a title, and blank rows between its rows', () => {
    const [table, ...others] = tablesOf([
      [
        ['Our jars, autumn'],
        [],
        ['Code', 'Strain', 'Made'],
        ['A1', 'Blue oyster', { day: '2026-11-01' }],
        [],
        ['A2', 'Blue oyster', { day: '2026-11-02' }],
      ],
    ]);
    expect(others).toEqual([]);
    expect(table).toMatchObject({ title: 'Our jars, autumn', headRow: 3 });
    expect(table?.columns.map(({ heading }) => heading)).toEqual(['Code', 'Strain', 'Made']);
    expect(table?.rows.map(({ row }) => row)).toEqual([4, 6]);
  });

  it('joins headings that stand in two rows, the upper ones merged over several columns', () => {
    const [table] = tablesOf([
      [
        ['Jar', null, 'Days', null, 'Spawn'],
        ['Code', 'Strain', 'made', 'ripe', 'g left'],
        ['A1', 'Blue oyster', '2026-11-01', '2026-11-15', 500],
      ],
      [
        { top: 1, bottom: 1, left: 1, right: 2 },
        { top: 1, bottom: 1, left: 3, right: 4 },
      ],
    ]);
    expect(table?.columns.map(({ heading }) => heading)).toEqual([
      'Jar Code',
      'Jar Strain',
      'Days made',
      'Days ripe',
      'Spawn g left',
    ]);
    expect(table?.rows).toHaveLength(1);
  });

  it('gives cells merged downwards their value in each row', () => {
    const [table] = tablesOf([
      [
        ['Code', 'Strain'],
        ['A1', 'Blue oyster'],
        ['A2', null],
      ],
      [{ top: 2, bottom: 3, left: 2, right: 2 }],
    ]);
    expect(table?.rows[1]?.cells.get(2)?.content).toEqual({ kind: 'text', text: 'Blue oyster' });
  });

  it('leaves totals, repeated headings and lines of text out, and says so', () => {
    const [table] = tablesOf([
      [
        ['Code', 'Strain', 'Grams left'],
        ['A1', 'Blue oyster', 500],
        ['Total', null, { formula: 500 }],
        ['Code', 'Strain', 'Grams left'],
        ['in the cellar since Monday'],
        ['A2', 'Shiitake', 400],
        [null, null, { formula: 900 }],
        ['Sum:', null, '900 g'],
      ],
    ]);
    expect(table?.rows.map(({ row }) => row)).toEqual([2, 6]);
    expect(table?.leftOut.map(({ row, why }) => [row, why])).toEqual([
      [3, 'total'],
      [4, 'repeated-headings'],
      [5, 'line-of-text'],
      [7, 'total'],
      [8, 'total'],
    ]);
  });

  it('keeps a jar whose code begins like a total', () => {
    const [table] = tablesOf([
      [
        ['Code', 'Strain', 'Grams left'],
        ['TOTAL-1', 'Blue oyster', 500],
      ],
    ]);
    expect(table?.rows).toHaveLength(1);
  });

  it('are two when one stands below the other under headings of its own', () => {
    const tables = tablesOf([
      [
        ['Jars'],
        ['Code', 'Strain', 'State'],
        ['A1', 'Blue oyster', 'ripe'],
        [],
        ['Runs'],
        ['Run', 'Date', 'Strain', 'Substrate kg'],
        ['Straw 12', '2026-10-01', 'Blue oyster', 80],
      ],
    ]);
    expect(tables.map(({ key, title, rows }) => [key, title, rows.length])).toEqual([
      ['1.1', 'Jars', 1],
      ['1.2', 'Runs', 1],
    ]);
  });

  it('are two when they stand side by side, and one when a blank column only parts it', () => {
    const besides = tablesOf([
      [
        ['Code', 'Strain', null, 'Code', 'Strain'],
        ['A1', 'Blue oyster', null, 'B1', 'Shiitake'],
      ],
    ]);
    expect(besides).toHaveLength(2);
    const parted = tablesOf([
      [
        ['Code', 'Strain', null, 'State', 'Size'],
        ['A1', 'Blue oyster', null, 'ripe', 'Litre jar'],
      ],
    ]);
    expect(parted).toHaveLength(1);
    expect(parted[0]?.columns).toHaveLength(4);
  });

  it('are found on every sheet, and a column without a heading is a column', () => {
    const tables = tablesOf(
      [
        [
          ['Code', 'Strain'],
          ['A1', 'Blue oyster', 'from Anna'],
        ],
      ],
      [
        [
          ['Picked', 'Run', 'Grams'],
          ['2026-10-20', 'Straw 12', 900],
        ],
        [],
        'Harvest',
      ],
    );
    expect(tables.map(({ key, sheet }) => [key, sheet])).toEqual([
      ['1.1', 'Sheet1'],
      ['2.1', 'Harvest'],
    ]);
    expect(tables[0]?.columns.at(-1)).toEqual({ column: 3, heading: 'Column C' });
  });

  it('are none on a blank sheet or one of prose', () => {
    expect(tablesOf([[]], [[['Dear all,'], ['the cellar is full.']]])).toEqual([]);
  });
});
