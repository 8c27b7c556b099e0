import { describe, expect, it } from '@jest/globals';
import { findTables } from './find-tables.js';
import { guessMapping, mappingAs, withPlainWords } from './guess-mapping.js';
import { settleFile } from './settle-file.js';
import { sheetOf, someFarm } from './sheet.test-support.js';
import type { SheetMapping, TableMapping } from './sheet-mapping.js';
import { understandFile } from './understand-file.js';

const HEADINGS = ['Code', 'Strain', 'Gen', 'Size', 'State', 'Made on', 'Grams left'];
const jar = (code: string, more: Record<number, string | number | null | { day: string }> = {}) => {
  const values = [code, 'Blue oyster', 'G1', 'Litre jar', 'ripe', { day: '2026-11-01' }, 500];
  return values.map((value, at) => (at in more ? more[at]! : value)) as Parameters<typeof sheetOf>[0][number];
};

function understood(
  rows: Parameters<typeof sheetOf>[0],
  change: (of: TableMapping) => Partial<TableMapping> = () => ({}),
) {
  const tables = findTables({ sheets: [sheetOf(rows)] });
  const guess = guessMapping(tables);
  const changed: SheetMapping = Object.fromEntries(
    Object.entries(guess).map(([key, of]) => [key, { ...of, ...change(of) }]),
  );
  return understandFile(tables, withPlainWords(tables, changed, someFarm), someFarm);
}

const gramsInKg = (of: TableMapping) => ({ units: { ...of.units, gramsLeft: 'kg' as const } });

describe('an old spreadsheet of jars', () => {
  it('is understood from its headings, with the farm’s own names', () => {
    const { jars, questions, refused } = understood([HEADINGS, jar('A1'), jar('A2', { 4: 'In fridge', 1: 'bo1' })]);
    expect(refused).toEqual([]);
    expect(questions).toEqual([]);
    expect(jars).toHaveLength(2);
    expect(jars[0]).toMatchObject({
      code: 'A1',
      strain: { to: 'known', id: 'strain-1' },
      generation: 1,
      state: 'ripe',
      madeOn: '2026-11-01',
      gramsLeft: 500,
    });
    // Made on 1 November and usually ripe after 14 days: the cold counts from then, the careful reading.
    expect(jars[1]).toMatchObject({ state: 'chilled', ripeOn: '2026-11-15', chilledOn: '2026-11-15' });
  });

  it('asks for the order of days, with both readings, and takes the answer', () => {
    const rows = [HEADINGS, jar('A1', { 5: '03/04/2026' }), jar('A2', { 5: '25/04/2026' })];
    const asked = understood(rows);
    expect(asked.questions).toMatchObject([
      {
        about: 'day-order',
        suggestion: 'day-month-year',
        examples: [{ cell: 'F2', shows: '03/04/2026', readings: ['2026-04-03', '2026-03-04'] }],
      },
    ]);
    expect(asked.jars.map(({ code }) => code)).toEqual(['A2']);
    // A cell that waits for an answer is no blank cell.
    expect(asked.refused).toEqual([]);
    expect(understood(rows, () => ({ dayOrder: 'day-month-year' })).jars.map(({ madeOn }) => madeOn)).toEqual([
      '2026-04-03',
      '2026-04-25',
    ]);
    const other = understood(rows, () => ({ dayOrder: 'month-day-year' }));
    expect(other.refused).toMatchObject([{ cell: 'F3', value: '25/04/2026', code: 'not-a-day' }]);
  });

  it('asks what 1.234 means, says what other cells speak for, and takes the answer', () => {
    const rows = [HEADINGS, jar('A1', { 6: '1.234' }), jar('A2', { 6: '1,5' })];
    const asked = understood(rows, gramsInKg);
    expect(asked.questions).toMatchObject([
      { about: 'decimal-mark', suggestion: 'comma', examples: [{ cell: 'G2', readings: ['1.234', '1234'] }] },
    ]);
    const answered = understood(rows, (of) => ({ ...gramsInKg(of), decimalMark: 'comma' }));
    expect(answered.jars.map(({ gramsLeft }) => gramsLeft)).toEqual([1500]);
    // 1234 kg in a jar: refused for what it says, in its cell.
    expect(answered.refused).toMatchObject([{ cell: 'G2', code: 'out-of-range' }]);
    expect(understood(rows, (of) => ({ ...gramsInKg(of), decimalMark: 'point' })).refused).toMatchObject([
      { cell: 'G3', code: 'not-a-number' },
    ]);
  });

  it('asks for the unit of a column whose heading and cells name none', () => {
    const rows = [
      ['Code', 'Strain', 'Gen', 'Size', 'State', 'Made on', 'Weight'],
      jar('A1', { 6: 1.5 }),
      jar('A2', { 6: '2 lb' }),
    ];
    const asked = understood(rows);
    expect(asked.questions).toMatchObject([{ about: 'unit', field: 'gramsLeft', rows: 1 }]);
    // NIST SP 811: a pound is 453.59237 g.
    expect(asked.jars.map(({ gramsLeft }) => gramsLeft)).toEqual([907.2]);
    expect(understood(rows, (of) => ({ units: { ...of.units, gramsLeft: 'oz' } })).jars[0]?.gramsLeft).toBe(42.5);
  });

  it('asks what plain numbers in a column of days count from', () => {
    const rows = [HEADINGS, jar('A1', { 5: 46300 })];
    expect(understood(rows).questions).toMatchObject([
      { about: 'day-count', examples: [{ readings: ['2026-10-05', '2030-10-06'] }] },
    ]);
    expect(understood(rows, () => ({ dayCount: '1900' })).jars[0]?.madeOn).toBe('2026-10-05');
  });

  it('asks about words nobody knows, and suggests what is close', () => {
    const { questions } = understood([HEADINGS, jar('A1', { 1: 'oyster, blue oyster' }), jar('A2', { 4: 'zzz' })]);
    expect(questions).toMatchObject([
      { about: 'word', field: 'strain', word: 'oyster, blue oyster', suggestion: 'strain-1' },
      { about: 'word', field: 'state', word: 'zzz', suggestion: null },
    ]);
  });

  it('asks for what no column says, once for all rows', () => {
    const rows = [
      ['Code', 'Strain', 'State', 'Made on'],
      ['A1', 'Blue oyster', 'ripe', { day: '2026-11-01' }],
    ] as Parameters<typeof sheetOf>[0];
    expect(understood(rows).questions.map(({ about, field }) => [about, field])).toEqual([
      ['missing-field', 'generation'],
      ['missing-field', 'size'],
    ]);
    expect(understood(rows, () => ({ forAllRows: { generation: '2', size: 'Litre jar' } })).jars[0]).toMatchObject({
      generation: 2,
      size: { id: 'size-1' },
    });
  });

  it('asks about a word that every object has, too', () => {
    const { questions, jars } = understood([HEADINGS, jar('A1'), jar('A2', { 1: 'Constructor' })]);
    expect([questions.map(({ word }) => word), jars.map(({ code }) => code)]).toEqual([['Constructor'], ['A1']]);
  });

  it('refuses what cannot be, each with its cell, its value and what to do', () => {
    const { refused } = understood([
      HEADINGS,
      jar('A1', { 5: { day: '2026-12-24' } }),
      jar('A2', { 4: 'used up' }),
      jar('A3', { 4: 'opened', 6: null }),
      jar('A4', { 6: 'plenty' }),
      jar('A5', { 1: null }),
    ]);
    expect(refused.map(({ cell, code }) => [cell, code])).toEqual([
      ['F2', 'contradiction'],
      ['E3', 'missing-value'],
      ['E4', 'missing-value'],
      ['G5', 'not-a-number'],
      ['B6', 'missing-value'],
    ]);
    expect(refused.every(({ rule, advice, sheet }) => rule !== '' && advice !== '' && sheet === 'Sheet1')).toBe(true);
  });

  it('keeps columns it does not know as notes', () => {
    const rows = [
      [...HEADINGS, 'Mother', 'Incubator'],
      [...jar('A1'), 'P-7', 'no. 2'],
    ] as Parameters<typeof sheetOf>[0];
    expect(understood(rows).jars[0]?.note).toBe('Mother: P-7. Incubator: no. 2');
  });

  it('refuses words that are too many to keep, and cuts none', () => {
    const rows = [
      [...HEADINGS, 'Mother', 'Supplier'],
      [...jar('A1'), 'P'.repeat(1990), 'Neighbour'],
      [...jar('A2'), 'P'.repeat(1995), 'Neighbour'],
      [...jar('A3'), 'P-7', 'N'.repeat(121)],
    ] as Parameters<typeof sheetOf>[0];
    const { jars, refused } = understood(rows);
    expect(jars.map(({ note }) => note?.length)).toEqual([1998]);
    expect(refused.map(({ cell, code }) => [cell, code])).toEqual([
      ['A3', 'out-of-range'],
      ['I4', 'out-of-range'],
    ]);
  });
});

describe('an old spreadsheet compared with the farm', () => {
  const nothing = {
    jarCodes: new Set<string>(),
    lotCodes: new Set<string>(),
    runs: new Set<string>(),
    marks: new Set<string>(),
  };
  const markOf = (text: string) => text;
  const LOTS = ['Lot', 'Jars', 'Strain', 'Gen', 'Size', 'State', 'Made on'];
  const lot = (code: string | null, count: number, strain = 'Blue oyster') =>
    [code, count, strain, 1, 'Litre jar', 'ripe', { day: '2026-11-01' }] as Parameters<typeof sheetOf>[0][number];

  it('knows jars by their code, whatever the case, and a code twice in the file', () => {
    const file = understood([HEADINGS, jar('A1'), jar('a1'), jar('A2')]);
    const settled = settleFile(file, { ...nothing, jarCodes: new Set(['a2']) }, markOf);
    expect(settled.already).toMatchObject([{ row: 4, shows: 'A2' }]);
    expect(settled.refused).toMatchObject([
      { cell: 'A3', code: 'repeated-id', rule: expect.stringContaining('Sheet1!A2') },
    ]);
    expect(settled.lots.flatMap(({ jars }) => jars.map(({ code }) => code))).toEqual(['A1']);
  });

  it('makes one lot of a lot’s row, and says no to a lot of two strains', () => {
    const settled = settleFile(understood([LOTS, lot('L7', 12), lot('L7', 3, 'Shiitake')]), nothing, markOf);
    expect(settled.lots.map(({ code, jars }) => [code, jars.length])).toEqual([['L7', 12]]);
    expect(settled.refused).toMatchObject([{ cell: 'A3', code: 'contradiction' }]);
  });

  it('knows rows without a code again by all they say, counting those that say the same', () => {
    const file = understood([LOTS, lot(null, 5), lot(null, 5)]);
    const first = settleFile(file, nothing, markOf);
    expect(first.lots.map(({ jars }) => jars.length)).toEqual([10]);
    const again = settleFile(file, { ...nothing, marks: new Set(first.marks) }, markOf);
    expect([again.lots, again.already.length]).toEqual([[], 2]);
  });
});

describe('an old spreadsheet of runs and harvests', () => {
  const RUNS = ['Run', 'Date', 'Strain', 'Substrate (kg)'];
  const PICKED = ['Run', 'Picked', 'Flush', 'Grams'];
  const nothing = { jarCodes: new Set(''), lotCodes: new Set(''), runs: new Set(''), marks: new Set('') };
  const settled = (rows: Parameters<typeof sheetOf>[0]) => {
    const { runs, harvests, refused } = settleFile(understood(rows), nothing, (text) => text);
    const cells = refused.map(({ cell, code }) => [cell, code]);
    return { runs: runs.length, harvests: harvests.length, cells, rules: refused.map(({ rule }) => rule) };
  };
  const run = (name: string, on: string, kg: number | string = 80) =>
    [name, { day: on }, 'Blue oyster', kg] as Parameters<typeof sheetOf>[0][number];
  const picked = (name: string) => [name, { day: '2026-10-20' }, 1, 9000] as Parameters<typeof sheetOf>[0][number];

  it('never chooses between two runs of one name, and takes a name and a day for one run', () => {
    const told = settled([
      ...[RUNS, run('Straw 1', '2026-09-01'), run('straw 1', '2026-09-08'), run('Straw 2', '2026-09-01')],
      ...[run('Straw 2', '2026-09-01', 40), [], PICKED, picked('Straw 1'), picked('Straw 2')],
    ]);
    expect(told).toMatchObject({ runs: 3, harvests: 1 });
    expect(told.cells).toEqual([
      ['A5', 'repeated-id'],
      ['A8', 'contradiction'],
    ]);
    expect(told.rules[0]).toContain('Sheet1!A4');
    expect(told.rules[1]).toContain('2026-09-01 and on 2026-09-08');
  });

  it('refuses a run larger than one that is added by hand may be', () => {
    expect(understood([RUNS, run('Straw 1', '2026-09-01', 100_001)]).refused).toMatchObject([
      { cell: 'D2', rule: 'The substrate weighs 1 g to 100 t.' },
    ]);
  });

  it('refuses with a run what names it', () => {
    const told = settled([RUNS, run('Straw 1', '2026-09-01', 'plenty'), [], PICKED, picked('Straw 1')]);
    expect(told).toMatchObject({ runs: 0, harvests: 0, cells: [['A5', 'unknown-name']] });
  });

  it('brings runs with their substrate in grams, and harvests of runs of the same file', () => {
    const { runs, harvests, questions, refused } = understood([
      ['Run', 'Date', 'Strain', 'Substrate (kg)', 'Spawn rate %', 'Remarks'],
      ['Straw 1', { day: '2026-09-01' }, 'Blue oyster', 80, 5, 'hot week'],
      ['Straw 99', { day: '2027-01-05' }, 'Blue oyster', 80, 5, null],
      [],
      ['Run', 'Picked', 'Flush', 'Yield (lb)'],
      ['Straw 1', { day: '2026-10-01' }, 1, 20],
      ['Straw 12', { day: '2026-10-20' }, 2, 10],
    ]);
    expect([questions, refused]).toEqual([[], []]);
    expect(runs).toMatchObject([
      { name: 'Straw 1', substrateWetG: 80_000, spawnRate: 0.05, note: 'hot week', done: true },
      { name: 'Straw 99', done: false },
    ]);
    expect(harvests).toMatchObject([
      { run: { to: 'run-in-file', name: 'Straw 1' }, massG: 9071.8, flush: 1 },
      { run: { to: 'known', id: 'run-1' }, massG: 4535.9, flush: 2 },
    ]);
  });

  it('is guessed anew when the farm says what a table holds', () => {
    const [table] = findTables({
      sheets: [
        sheetOf([
          ['Date', 'Batch', 'Weight kg'],
          [{ day: '2026-10-01' }, 'Straw 1', 3],
        ]),
      ],
    });
    expect(mappingAs(table!, 'harvests').columns).toEqual({ 1: 'day', 2: 'run', 3: 'mass' });
    expect(mappingAs(table!, 'harvests').units).toEqual({ mass: 'kg' });
  });
});
