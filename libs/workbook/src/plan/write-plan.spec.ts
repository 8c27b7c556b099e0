import { calendarDay, type SpawnPlan } from '@jarfold/domain';
import { beforeAll, describe, expect, it } from '@jest/globals';
import ExcelJS from 'exceljs';
import type { CellContent, WorkbookCells } from '../cells/cell.js';
import { exampleKitchen } from '../examples/example-kitchen.js';
import { readFarm } from '../farm/read-farm.js';
import { writeFarmWorkbook } from '../farm/write-farm.js';
import { defaultLimits } from '../package/limits.js';
import { readCells } from '../package/read-cells.js';
import { writePlanWorkbook } from './write-plan.js';

const day = calendarDay;
const NASTY = '=HYPERLINK("http://example.org","x")';

const plan: SpawnPlan = {
  asOf: day('2026-11-25'),
  starts: [
    {
      id: 'start-1',
      benchDay: day('2026-11-28'),
      strainId: 'Oyster',
      generation: 2,
      sizeId: 'jar',
      containers: 3,
      mothers: [
        { code: 'OY-26W41-1/01', grams: 54 },
        { code: 'OY-26W41-1/02', grams: 27 },
      ],
      feeds: [{ run: NASTY, grams: 486 }],
      mothersLaterGrams: 27,
      reserveGrams: 270,
      ripeOn: day('2026-12-12'),
      lastSafeDay: day('2026-12-05'),
    },
  ],
  preparations: [
    { day: day('2026-11-27'), benchDay: day('2026-11-28'), cycles: 1, containers: [{ sizeId: 'jar', count: 3 }] },
  ],
  cultures: [{ id: 'culture-1', strainId: 'Oyster', orderBy: day('2026-11-26'), readyOn: day('2026-12-10'), units: 1 }],
  moves: [{ day: day('2026-11-27'), kind: 'warm', from: 'OY-26W41-1/01', containers: 1 }],
  uses: [
    {
      day: day('2026-12-13'),
      from: 'start-1',
      grams: 486,
      to: { kind: 'run', run: NASTY },
      cold: false,
      opened: 2,
      openedOn: day('2026-12-13'),
    },
  ],
  runs: [
    {
      run: NASTY,
      day: day('2026-12-13'),
      strainId: 'Oyster',
      minGrams: 400,
      targetGrams: 500,
      coveredGrams: 486,
      probability: null,
      limit: { kind: 'steriliser', where: '2026-11-27', message: 'The vessel is full on 27 November.' },
    },
    {
      run: 'short one',
      day: day('2026-12-20'),
      strainId: 'Oyster',
      minGrams: 400,
      targetGrams: 500,
      coveredGrams: 0,
      probability: null,
      limit: { kind: 'time', where: null, message: '' },
    },
  ],
  stranded: [{ code: 'OY-26W44-1/01', grams: 120, expires: day('2026-11-26') }],
  discards: [],
  reserveGaps: [{ strainId: 'Oyster', from: day('2026-12-01'), until: day('2026-12-12'), missing: 1 }],
  impossible: [{ code: 'run-in-past', subject: 'R0', message: 'Run R0 was due before.' }],
  cost: 12.5,
  costParts: {
    containers: 4.5,
    cycles: 3,
    cultures: 0,
    chilling: 0,
    agedOut: 0.5,
    short: 4,
    belowTarget: 0.5,
    generation: 0,
    age: 0,
    secondChoice: 0,
    mothersMissing: 0,
  },
  bound: 12.5,
  gap: 0,
  exact: true,
};

let bytes: Buffer;
let cells: WorkbookCells;

beforeAll(async () => {
  const farm = readFarm(
    await readCells(await writeFarmWorkbook(exampleKitchen(plan.asOf)), defaultLimits),
    () => plan.asOf,
  );
  if (!farm.ok) throw new Error('The example cannot be read.');
  bytes = await writePlanWorkbook(plan, farm.farm);
  cells = await readCells(bytes, defaultLimits);
});

const plain = (content: CellContent): unknown => {
  if (content.kind === 'text') return content.text;
  if (content.kind === 'number') return content.number;
  return content.kind === 'day' ? content.day : content;
};

function tableOf(name: string): Record<string, unknown>[] {
  const sheet = cells.sheets.find((each) => each.name === name);
  const head = sheet?.rows.findIndex(({ cells: row }) => row.length > 2) ?? -1;
  const headings = new Map(sheet?.rows[head]?.cells.map(({ column, content }) => [column, String(plain(content))]));
  return (sheet?.rows.slice(head + 1) ?? []).map(({ cells: row }) =>
    Object.fromEntries(row.map(({ column, content }) => [headings.get(column), plain(content)])),
  );
}

describe('the plan as a workbook', () => {
  it('lists the week in the order the work is done', () => {
    expect(tableOf('This week').map((row) => [row.Day, row.Work, row.What])).toEqual([
      ['2026-11-26', 'Order culture', '1 culture of Oyster'],
      ['2026-11-27', 'Warm up', '1 jar'],
      ['2026-11-27', 'Prepare', '3 jars: 1 load'],
      ['2026-11-28', 'Inoculate', '3 jars, Oyster G2'],
    ]);
  });

  it('names mothers with their grams, and what a start is for', () => {
    expect(tableOf('Plan')[0]).toMatchObject({
      'Bench day': '2026-11-28',
      Jars: 3,
      Mothers: 'OY-26W41-1/01 (54 g); OY-26W41-1/02 (27 g)',
      For: `${NASTY} (486 g), mothers for later (27 g), mother reserve (270 g)`,
      'Last safe day': '2026-12-05',
    });
  });

  it('weighs out the grain', () => {
    // Three half-litre jars of rye to three quarters at 50 % moisture hold about 430 g of grain, and a twentieth spare.
    const [row] = tableOf('Preparation');
    expect(row).toMatchObject({ Loads: 1, Jars: '3 × jar', Grain: 'rye' });
    expect(row?.['Grain g']).toBeGreaterThan(400);
    expect(row?.['Grain g']).toBeLessThan(500);
    expect(row?.['Water ml']).toBeCloseTo(Number(row?.['Grain g']) * 1.5, -1);
  });

  it('says how far each run is covered and what keeps it short', () => {
    expect(tableOf('Runs').slice(0, 2)).toMatchObject([
      {
        Run: NASTY,
        'Covered g': 486,
        Reaches: 'minimum',
        'Limit and what would lift it': 'The vessel is full on 27 November.',
      },
      { Run: 'short one', 'Covered g': 0, Reaches: 'short', 'Limit and what would lift it': 'too little time' },
    ]);
  });

  it('totals with formulas whose results stand in the file', () => {
    expect(tableOf('Runs')[2]).toMatchObject({ Day: 'Total', 'Target g': 1000, 'Covered g': 486 });
  });

  it('lists stranded spawn with its place, moves and notes', () => {
    expect(tableOf('Stranded')[0]).toMatchObject({ Jar: 'OY-26W44-1/01', Grams: 120, 'Good until': '2026-11-26' });
    expect(tableOf('Moves').map((row) => row.What)).toEqual([
      'order culture, ready Thu 10 Dec 2026',
      'out of the cold',
    ]);
    expect(tableOf('Notes').map((row) => row.Kind)).toEqual(['Cannot be planned', 'Mother reserve']);
  });

  it('keeps text that looks like a formula as text', async () => {
    const all = cells.sheets.flatMap(({ rows }) => rows.flatMap((row) => row.cells));
    const formulas = all.filter(({ formula }) => formula);
    expect(formulas.every(({ content }) => content.kind === 'number')).toBe(true);
    expect(all.some(({ content, formula }) => !formula && content.kind === 'text' && content.text === NASTY)).toBe(
      true,
    );
  });

  it('is real tables with frozen headings and a print set-up', async () => {
    const workbook = new ExcelJS.Workbook();
    // The library's types know an older kind of Buffer.
    await workbook.xlsx.load(bytes as unknown as ExcelJS.Buffer);
    expect(workbook.worksheets).toHaveLength(8);
    for (const sheet of workbook.worksheets) {
      expect(sheet.getTables()).toHaveLength(1);
      expect(sheet.views[0]).toMatchObject({ state: 'frozen' });
      expect(sheet.pageSetup).toMatchObject({
        orientation: 'landscape',
        fitToPage: true,
        fitToWidth: 1,
        fitToHeight: 0,
      });
    }
  });
});
