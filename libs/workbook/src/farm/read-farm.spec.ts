import { calendarDay } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import { dayCell, percentCell, type ShortCell, sheetOf, workbookOf } from '../../../../tests/support/workbook-cells.js';
import type { WorkbookCells } from '../cells/cell.js';
import { describeProblem } from '../problem.js';
import { readFarm } from './read-farm.js';

type Rows = readonly (readonly ShortCell[])[];

const asOf = calendarDay('2026-11-25');

/** A farm with the columns everyone must have, and nothing else. */
const plain: Record<string, Rows> = {
  Farm: [
    ['setting', 'value'],
    ['bench days', 'Tuesday, Friday'],
    ['jars per bench day', 20],
    ['vessel places', 14],
    ['loads per preparation day', 2],
    ['time zone', 'Europe/Vienna'],
  ],
  Strains: [
    [
      'strain',
      'species',
      'inoculum g per jar',
      'days to ripe',
      'loss %',
      'warm life days',
      'cold life days',
      'may be chilled',
      'last generation',
    ],
    ['Blue oyster', 'Pleurotus ostreatus', 50, 14, 8, 14, 56, 'yes', 3],
    ['Pink oyster', 'Pleurotus djamor', 45, 9, 6, 10, 10, 'no', 2],
  ],
  Sizes: [
    ['size', 'volume ml', 'ripe g'],
    ['litre jar', 1000, 560],
  ],
  Jars: [
    ['code', 'strain', 'generation', 'size', 'state', 'made on', 'ripe on', 'grams left', 'place'],
    [
      'BL-26W45-1/01',
      'Blue oyster',
      2,
      'litre jar',
      'ripe',
      dayCell('2026-11-03'),
      dayCell('2026-11-17'),
      560,
      'Warm room',
    ],
    [
      'BL-26W46-1/01',
      'blue  OYSTER',
      'G2',
      'Litre Jar',
      'incubating',
      dayCell('2026-11-13'),
      null,
      null,
      'Warm room / 3',
    ],
  ],
  Runs: [
    ['run', 'day', 'strain', 'wet kg', 'spawn rate %', 'basis', 'minimum %', 'priority'],
    ['R1', dayCell('2026-12-10'), 'Blue oyster', 100, 5, 'wet/wet', 80, 1],
  ],
  Rooms: [
    ['room', 'kind', 'places', 'temperature C'],
    ['Warm room', 'incubation', 100, 24],
    ['Cold room', 'cold', 40, 3],
  ],
};

/** The plain farm with some cells changed: `{ 'Jars!G2': 5 }`. */
function withCells(changes: Readonly<Record<string, ShortCell>>): WorkbookCells {
  const sheets = structuredClone(plain) as Record<string, ShortCell[][]>;
  for (const [place, value] of Object.entries(changes)) {
    const [sheet = '', cell = ''] = place.split('!');
    const row = Number(cell.slice(1)) - 1;
    const rows = sheets[sheet] as ShortCell[][];
    while (rows.length <= row) rows.push([]);
    const cells = rows[row] as ShortCell[];
    while (cells.length < cell.charCodeAt(0) - 64) cells.push(null);
    cells[cell.charCodeAt(0) - 65] = value;
  }
  return workbookOf(sheets);
}

const read = (cells: WorkbookCells) => readFarm(cells, () => asOf);

function situationOf(cells: WorkbookCells) {
  const reading = read(cells);
  if (!reading.ok) throw new Error(reading.problems.map(describeProblem).join('\n'));
  return reading.farm.situation;
}

function problemsOf(cells: WorkbookCells) {
  const reading = read(cells);
  return reading.ok ? [] : reading.problems;
}

function noticesOf(cells: WorkbookCells) {
  const reading = read(cells);
  return (reading.ok ? reading.farm.notices : reading.notices).map(({ message }) => message);
}

describe('a farm workbook with the columns everyone must have', () => {
  const situation = situationOf(workbookOf(plain));

  it('gives rhythm, strains, sizes and rooms as written', () => {
    expect(situation.rhythm).toMatchObject({
      benchWeekdays: [2, 5],
      benchContainersPerDay: 20,
      vesselPlaces: 14,
      cyclesPerPreparationDay: 2,
    });
    expect(situation.strains[0]).toMatchObject({
      id: 'Blue oyster',
      inoculumGramsPerContainer: 50,
      daysToRipe: 14,
      lossRate: 0.08,
      warmLifeDays: 14,
      coldLifeDays: 56,
      mayBeChilled: true,
      lastGeneration: 3,
      culture: null,
    });
    expect(situation.strains[1]).toMatchObject({ mayBeChilled: false, lastGeneration: 2 });
    expect(situation.sizes).toMatchObject([{ id: 'litre jar', volumeMl: 1000, ripeGrams: 560, inoculumFactor: 1 }]);
    expect(situation.rooms).toEqual([
      { id: 'Warm room', kind: 'incubation', places: 100, temperatureC: 24 },
      { id: 'Cold room', kind: 'cold', places: 40, temperatureC: 3 },
    ]);
  });

  it('finds strain, size and room of a jar whatever the case and spacing, and a shelf behind the room', () => {
    expect(situation.stock[1]).toMatchObject({
      strainId: 'Blue oyster',
      sizeId: 'litre jar',
      roomId: 'Warm room',
      generation: 2,
      gramsLeft: 560,
    });
  });

  it('turns wet mass and spawn rate into grams of ripe spawn', () => {
    expect(situation.runs).toMatchObject([
      { id: 'R1', day: '2026-12-10', strainIds: ['Blue oyster'], minGrams: 4000, targetGrams: 5000, maxGrams: 6000 },
    ]);
  });

  it('has nothing to note', () => {
    expect(noticesOf(workbookOf(plain))).toEqual([]);
  });
});

describe('the basis of a spawn rate', () => {
  // Stamets 1993, p. 128: 150 lb of wet spawn at 50 % moisture on 1,000 lb of dry substrate is 15 % wet/dry, 7.5 % dry/dry.
  it.each([
    ['wet/wet', 15, 15_000],
    ['wet/dry', 15, 15_000 * 0.35],
    ['dry/dry', 7.5, 15_000 * 0.35],
  ])('%s: %d %% of 100 kg wet at 65 %% moisture', (basis, rate, grams) => {
    const [run] = situationOf(withCells({ 'Runs!E2': rate, 'Runs!F2': basis })).runs;
    expect(run?.targetGrams).toBeCloseTo(grams, 6);
  });

  it('takes the moistures a farm gives instead of the usual ones', () => {
    const cells = withCells({
      'Runs!F2': 'dry/dry',
      'Runs!I1': 'substrate moisture %',
      'Runs!I2': 70,
      'Farm!A7': 'spawn moisture %',
      'Farm!B7': 40,
    });
    expect(situationOf(cells).runs[0]?.targetGrams).toBe(Math.ceil((100_000 * 0.05 * 0.3) / 0.6));
  });
});

describe('what a farm leaves blank', () => {
  it('comes from the species of the strain', () => {
    const blank = Object.fromEntries('CDEFGHI'.split('').map((column) => [`Strains!${column}2`, null]));
    const [strain] = situationOf(withCells(blank)).strains;
    expect(strain).toMatchObject({
      inoculumGramsPerContainer: 56,
      lossRate: 0.1,
      mayBeChilled: true,
      lastGeneration: 3,
    });
  });

  it('is a spawn rate of 5 % wet/wet with 80 % as minimum', () => {
    const cells = withCells({ 'Runs!E2': null, 'Runs!F2': null, 'Runs!G2': null, 'Runs!H2': null });
    expect(situationOf(cells).runs[0]).toMatchObject({ minGrams: 4000, targetGrams: 5000, priority: 1, slackDays: 0 });
  });

  it('is the made day reckoned back from the ripe day', () => {
    expect(situationOf(withCells({ 'Jars!F2': null })).stock[0]?.madeOn).toBe('2026-11-03');
  });

  it('may be whole columns', () => {
    const sheets = {
      ...plain,
      Rooms: [
        ['room', 'kind', 'places'],
        ['Warm room', 'incubation', 100],
      ],
    };
    expect(situationOf(workbookOf(sheets)).rooms).toMatchObject([{ temperatureC: null }]);
  });

  it('may be a dash', () => {
    expect(situationOf(withCells({ 'Jars!G2': '–', 'Jars!H2': '-' })).stock[0]).toMatchObject({
      ripeOn: null,
      gramsLeft: 560,
    });
  });
});

describe('what people write in workbooks', () => {
  it('reads per cent from a cell shown as per cent', () => {
    expect(situationOf(withCells({ 'Strains!E2': percentCell(0.07) })).strains[0]?.lossRate).toBeCloseTo(0.07, 12);
  });

  it('reads several strains of a run, the first preferred', () => {
    const [run] = situationOf(withCells({ 'Runs!C2': 'pink oyster; Blue oyster' })).runs;
    expect(run?.strainIds).toEqual(['Pink oyster', 'Blue oyster']);
  });

  it('finds headings below a title, and passes over blank rows, remarks and totals', () => {
    const sheets = {
      ...plain,
      Sizes: [
        ['Our jars'],
        [],
        ['Size', 'Volume (ml)', 'Ripe  g', 'remark'],
        ['litre jar', 1000, 560, 'wide neck'],
        [],
        ['half-litre jar', 500, 275, null],
        ['Total', null, 835, null],
      ],
    };
    expect(situationOf(workbookOf(sheets)).sizes.map(({ id }) => id)).toEqual(['litre jar', 'half-litre jar']);
    expect(noticesOf(workbookOf(sheets))).toEqual([
      'Column "remark" is none Jarfold knows; it was left out.',
      'Row 7 looks like a row of totals; it was left out.',
    ]);
  });

  it('gives a value merged downwards to every row it spans', () => {
    const { sheets } = workbookOf(plain);
    const jars = withCells({ 'Jars!B3': null }).sheets.find(({ name }) => name === 'Jars');
    const merged = [{ top: 2, bottom: 3, left: 2, right: 2 }];
    const cells = {
      sheets: sheets.map((sheet) => (sheet.name === 'Jars' ? { ...sheet, rows: jars?.rows ?? [], merged } : sheet)),
    };
    expect(situationOf(cells).stock[1]?.strainId).toBe('Blue oyster');
  });

  it('says that a value merged sideways hides others', () => {
    const jars = withCells({ 'Jars!C2': null }).sheets.find(({ name }) => name === 'Jars');
    const merged = [{ top: 2, bottom: 2, left: 2, right: 3 }];
    const others = workbookOf(plain).sheets.filter(({ name }) => name !== 'Jars');
    const problems = problemsOf({ sheets: [...others, { ...sheetOf('Jars', []), rows: jars?.rows ?? [], merged }] });
    expect(problems).toMatchObject([{ code: 'merged', sheet: 'Jars', cell: 'C2', column: 'generation' }]);
  });

  it('leaves out jars that are gone, and says how many', () => {
    const cells = withCells({ 'Jars!E2': 'discarded' });
    expect(situationOf(cells).stock.map(({ code }) => code)).toEqual(['BL-26W46-1/01']);
    expect(noticesOf(cells)).toEqual(['1 jar is emptied, discarded, contaminated or aged out; left out of the plan.']);
  });

  it('keeps text that looks like a formula as text', () => {
    const name = '=HYPERLINK("http://example.org")';
    expect(situationOf(withCells({ 'Runs!A2': name })).runs[0]?.id).toBe(name);
  });

  it('adds up closed days that stand in several rows', () => {
    const cells = withCells({
      'Farm!A7': 'closed days',
      'Farm!B7': '2026-12-24, 2026-12-25',
      'Farm!A8': 'Closed days',
      'Farm!B8': dayCell('2027-01-01'),
    });
    expect(situationOf(cells).rhythm.closedDays).toEqual(['2026-12-24', '2026-12-25', '2027-01-01']);
  });

  it('notes sheets, columns and settings it does not know, with what was perhaps meant', () => {
    const sheets = {
      ...withKeys(plain),
      Prices: [['item', 'price']],
      Farm: [...(plain.Farm ?? []), ['horizn days', 60]],
    };
    expect(noticesOf(workbookOf(sheets))).toEqual([
      'Sheet "Prices" is none Jarfold knows; it was left out.',
      'Setting "horizn days" is none Jarfold knows; it was left out. Did you mean "horizon days"?',
    ]);
  });
});

const withKeys = (sheets: Record<string, Rows>): Record<string, Rows> => ({ ...sheets });

describe('a plan for an earlier day than the workbook was kept for', () => {
  const early = (cells: WorkbookCells) => readFarm(cells, () => calendarDay('2026-11-10'));

  it('leaves out jars made later, and takes later changes back, saying so', () => {
    const reading = early(workbookOf(plain));
    if (!reading.ok) throw new Error(reading.problems.map(describeProblem).join('\n'));
    expect(reading.farm.situation.stock).toMatchObject([{ code: 'BL-26W45-1/01', state: 'incubating' }]);
    expect(reading.farm.notices).toHaveLength(2);
  });
});

describe('one wrong cell', () => {
  const cases: readonly [what: string, changes: Record<string, ShortCell>, problem: Record<string, unknown>][] = [
    [
      'a strain nobody knows',
      { 'Jars!B2': 'Shiitake' },
      { code: 'unknown-name', sheet: 'Jars', cell: 'B2', value: 'Shiitake' },
    ],
    [
      'a misspelt strain',
      { 'Jars!B2': 'Bleu oyster' },
      { code: 'unknown-name', advice: 'Did you mean "Blue oyster"?' },
    ],
    ['a misspelt strain of a run', { 'Runs!C2': 'Blue oister' }, { sheet: 'Runs', cell: 'C2', code: 'unknown-name' }],
    ['a size nobody knows', { 'Jars!D2': 'bucket' }, { code: 'unknown-name', cell: 'D2', column: 'size' }],
    [
      'a misspelt room',
      { 'Jars!I2': 'Wram room' },
      { code: 'unknown-name', cell: 'I2', advice: 'Did you mean "Warm room"?' },
    ],
    ['a state that is none', { 'Jars!E2': 'happy' }, { code: 'unknown-word', cell: 'E2', value: 'happy' }],
    ['a misspelt state', { 'Jars!E2': 'incubatng' }, { code: 'unknown-word', advice: 'Did you mean incubating?' }],
    ['a basis that is none', { 'Runs!F2': 'by eye' }, { code: 'unknown-word', cell: 'F2' }],
    ['a kind of room that is none', { 'Rooms!B2': 'attic' }, { code: 'unknown-word', sheet: 'Rooms' }],
    [
      'a day that does not exist',
      { 'Jars!F2': '2026-02-30' },
      { code: 'impossible-day', cell: 'F2', value: '2026-02-30' },
    ],
    ['a day with two readings', { 'Runs!B2': '10/12/2026' }, { code: 'ambiguous-day', sheet: 'Runs', cell: 'B2' }],
    ['a number where a day belongs', { 'Runs!B2': 46000 }, { code: 'not-a-day', cell: 'B2' }],
    ['a day far ahead', { 'Jars!F2': dayCell('2062-11-03') }, { code: 'impossible-day', cell: 'F2' }],
    ['a run in another decade', { 'Runs!B2': dayCell('2062-12-10') }, { code: 'impossible-day', cell: 'B2' }],
    ['a day long ago', { 'Jars!F2': dayCell('1926-11-03') }, { code: 'impossible-day', cell: 'F2' }],
    [
      'ripe before it was made',
      { 'Jars!G2': dayCell('2026-11-01') },
      { code: 'impossible-day', cell: 'G2', column: 'ripe on' },
    ],
    [
      'negative grams',
      { 'Jars!H2': -5 },
      { code: 'out-of-range', cell: 'H2', value: '-5', rule: 'It must be at least 0 g.' },
    ],
    ['grams no jar holds', { 'Jars!H2': 56_000 }, { code: 'out-of-range', cell: 'H2' }],
    ['negative jars per bench day', { 'Farm!B3': -20 }, { code: 'out-of-range', sheet: 'Farm', cell: 'B3' }],
    ['half a jar', { 'Farm!B3': 12.5 }, { code: 'not-whole', advice: 'Write 12 or 13.' }],
    ['text where a number belongs', { 'Runs!D2': 'plenty' }, { code: 'not-a-number', cell: 'D2', value: 'plenty' }],
    ['a number with two readings', { 'Runs!D2': '1,200' }, { code: 'ambiguous-number', cell: 'D2' }],
    ['another unit', { 'Runs!D2': '200 lb' }, { code: 'wrong-unit', cell: 'D2' }],
    ['a date where a number belongs', { 'Sizes!C2': dayCell('1901-07-13') }, { code: 'not-a-number', sheet: 'Sizes' }],
    ['a date where a code belongs', { 'Jars!A2': dayCell('2026-03-01') }, { code: 'not-text', cell: 'A2' }],
    ['a formula in error', { 'Runs!D2': { kind: 'error', code: '#REF!' } }, { code: 'formula-error', value: '#REF!' }],
    ['a formula without result', { 'Runs!D2': { kind: 'uncomputed' } }, { code: 'formula-without-result', cell: 'D2' }],
    [
      'two jars with one code',
      { 'Jars!A3': 'bl-26w45-1/01' },
      { code: 'repeated-id', cell: 'A3', rule: 'Row 2 already has this code.' },
    ],
    [
      'a blank that must be filled',
      { 'Jars!B2': null },
      { code: 'missing-value', sheet: 'Jars', cell: 'B2', column: 'strain' },
    ],
    ['a jar without any day', { 'Jars!F2': null, 'Jars!G2': null }, { code: 'missing-value', cell: 'F2' }],
    ['an opened jar without grams', { 'Jars!E2': 'opened', 'Jars!H2': null }, { code: 'missing-value', cell: 'H2' }],
    ['a weekday that is none', { 'Farm!B2': 'Tuesday, Fritag' }, { code: 'unknown-word', cell: 'B2' }],
    ['a time zone that is none', { 'Farm!B6': 'Europe/Wien' }, { code: 'unknown-name', sheet: 'Farm', cell: 'B6' }],
    ['a setting written twice', { 'Farm!A7': 'Vessel places', 'Farm!B7': 9 }, { code: 'repeated-setting', cell: 'B7' }],
    ['a setting left blank', { 'Farm!B4': null }, { code: 'missing-value', sheet: 'Farm', cell: 'B4' }],
    ['a column that is missing', { 'Runs!D1': 'mass' }, { code: 'missing-column', sheet: 'Runs', column: 'wet kg' }],
    ['a column that stands twice', { 'Runs!I1': 'Run' }, { code: 'repeated-column', cell: 'I1' }],
    [
      'a loss of everything',
      { 'Strains!E2': 100 },
      { code: 'out-of-range', cell: 'E2', rule: 'It must be at most 95 %.' },
    ],
    ['a room of a size below nothing', { 'Rooms!C2': -1 }, { code: 'out-of-range', sheet: 'Rooms' }],
    [
      'chilled while it still grows',
      { 'Jars!J1': 'chilled on', 'Jars!J3': dayCell('2026-11-20') },
      { code: 'contradiction' },
    ],
  ];

  it.each(cases)('%s: is told with its place', (_, changes, problem) => {
    const problems = problemsOf(withCells(changes));
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject(problem);
    expect(problems[0]?.rule).not.toBe('');
    expect(problems[0]?.advice).not.toBe('');
  });
});

describe('many wrong things', () => {
  it('are all told in one pass, in the order of the sheets', () => {
    const problems = problemsOf(
      withCells({
        'Runs!B2': '2026-02-30',
        'Runs!D2': 'plenty',
        'Jars!B2': 'Shiitake',
        'Jars!H2': -5,
        'Jars!A3': 'BL-26W45-1/01',
        'Farm!B3': -20,
        'Rooms!B2': 'attic',
        'Strains!D2': 'a fortnight',
      }),
    );
    expect(problems.map(({ sheet, cell }) => `${sheet}!${cell}`)).toEqual([
      'Farm!B3',
      'Strains!D2',
      'Jars!B2',
      'Jars!H2',
      'Jars!A3',
      'Runs!B2',
      'Runs!D2',
      'Rooms!B2',
    ]);
  });

  it('a missing sheet is told once, not once for each name that would be in it', () => {
    const { Strains: _, ...others } = plain;
    expect(problemsOf(workbookOf(others))).toMatchObject([{ code: 'missing-sheet', sheet: 'Strains', cell: null }]);
  });

  it('every missing sheet is told, and a misspelt one recognised', () => {
    const problems = problemsOf(workbookOf({ Farm: plain.Farm ?? [], Jrs: plain.Jars ?? [] }));
    expect(problems.map(({ sheet }) => sheet)).toEqual(['Strains', 'Sizes', 'Jars', 'Runs', 'Rooms']);
    expect(problems.find(({ sheet }) => sheet === 'Jars')?.advice).toBe('Did you mean "Jrs"? Rename it to Jars.');
  });

  it('a sheet without headings and one without rows are told', () => {
    const problems = problemsOf(workbookOf({ ...plain, Strains: [['hello']], Sizes: (plain.Sizes ?? []).slice(0, 1) }));
    expect(problems.map(({ code, sheet }) => [code, sheet])).toEqual(
      expect.arrayContaining([
        ['missing-column', 'Strains'],
        ['no-rows', 'Sizes'],
      ]),
    );
  });
});
