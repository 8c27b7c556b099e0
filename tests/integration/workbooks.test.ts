/** The weekly workbook and its way back, through the API, with independent readers and writers. */
import { readFile, writeFile } from 'node:fs/promises';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import ExcelJS from 'exceljs';
import type { CellContent, WorkbookCells } from '../../libs/workbook/src/cells/cell.js';
import { defaultLimits } from '../../libs/workbook/src/package/limits.js';
import { readCells } from '../../libs/workbook/src/package/read-cells.js';
import { type Answer, startApi, type TestApi, type World } from '../support/api-app.js';
import { farmDigest } from '../support/farm-digest.js';
import { alwaysCalculate, convert, rawSheets, soffice } from '../support/office.js';
import { temporaryFolder } from '../support/plan-command.js';
import { FILE_HEADERS } from '../support/recipes/workbooks.js';

jest.setTimeout(300_000);

let api: TestApi;
let farm: World;
let folder: Awaited<ReturnType<typeof temporaryFolder>>;
let file: Buffer;
let cells: WorkbookCells;

beforeAll(async () => {
  folder = await temporaryFolder();
  api = await startApi({ clock: () => new Date('2026-11-25T09:00:00Z') });
  farm = await api.farm('Farm');
  await farm.call('POST', '/api/farm/first-start', {
    strain: { speciesKey: 'pleurotus-ostreatus' },
    ripeJars: 12,
    run: { day: '2026-12-21', substrateWetKg: 40 },
  });
  const strain = (await farm.call('GET', '/api/farm')).body.strains[0];
  const run = (day: string, more: object = {}) => ({ day, strainIds: [strain.id], substrateWetKg: 33.3, ...more });
  await farm.call(
    'POST',
    '/api/runs',
    run('2026-12-28', { name: '=HYPERLINK("http://example.org")', spawnRate: 0.07 }),
  );
  await farm.call(
    'POST',
    '/api/runs',
    run('2027-01-11', { basis: 'dry/dry', substrateMoisture: 0.62, note: 'MAR1 00042' }),
  );
  file = await madeFile();
  cells = await readCells(file, defaultLimits);
});
afterAll(async () => {
  await api.close();
  await folder.remove();
});

async function madeFile(): Promise<Buffer> {
  const { body } = await farm.call('POST', '/api/workbooks');
  expect(await farm.make(body.id)).toBe('ready');
  return (await farm.call('GET', `/api/workbooks/${body.id}/file`)).bytes;
}

const send = (bytes: Buffer, world = farm): Promise<Answer> =>
  world.call('POST', '/api/imports/workbook?name=week.xlsx', bytes, FILE_HEADERS);

/** Says yes, and lets the worker do it. */
async function apply({ body }: Answer, choices: object = {}): Promise<Answer> {
  const path = `/api/imports/workbook/${body.import.id}`;
  const answer = await farm.call('POST', `${path}/apply`, { seen: body.seen, choices });
  if (answer.status !== 200) return answer;
  await farm.bringIn(body.import.id);
  return { ...answer, body: (await farm.call('GET', path)).body.import };
}

const runsNow = async () => (await farm.call('GET', '/api/runs?state=all')).body.items;

/** Changes a file as a person does in another program. */
async function edited(bytes: Buffer, edit: (runs: ExcelJS.Worksheet, book: ExcelJS.Workbook) => void): Promise<Buffer> {
  const book = new ExcelJS.Workbook();
  await book.xlsx.load(bytes as unknown as ExcelJS.Buffer);
  edit(book.getWorksheet('Bulk runs')!, book);
  return Buffer.from(await book.xlsx.writeBuffer());
}

/** Column of a heading in the table of runs, and the row of the n-th run. */
const HEAD_ROW = 3;
const columnOf = (sheet: ExcelJS.Worksheet, heading: string) => {
  for (let column = 1; column <= 40; column++) {
    if (sheet.getCell(HEAD_ROW, column).text === heading) return column;
  }
  throw new Error(`no column ${heading}`);
};
const cellOf = (sheet: ExcelJS.Worksheet, run: number, heading: string) =>
  sheet.getCell(HEAD_ROW + run, columnOf(sheet, heading));

/** A number as the program writes it raw: shares stay per cent. */
const numberOf = (text = '') => (text.endsWith('%') ? Number(text.slice(0, -1)) / 100 : Number(text));

const plain = (content: CellContent): unknown => {
  if (content.kind === 'text') return content.text;
  if (content.kind === 'number') return content.number;
  return content.kind === 'day' ? content.day : content;
};

describe('the weekly workbook', () => {
  it('has its sheets in order, and one that stays hidden', () => {
    expect(cells.sheets.map(({ name, hidden }) => (hidden ? `(${name})` : name))).toEqual([
      ...['This week', 'Plan', 'Bulk runs', 'Jars', 'Cold store', 'Contamination', 'Harvest', 'Lists'],
      '(Do not change)',
    ]);
  });

  it('is read by another library cell by cell as by ours', async () => {
    const book = new ExcelJS.Workbook();
    await book.xlsx.load(file as unknown as ExcelJS.Buffer);
    for (const { name, rows } of cells.sheets) {
      const sheet = book.getWorksheet(name)!;
      for (const { row, cells: ours } of rows) {
        for (const { column, content } of ours) {
          const { value } = sheet.getCell(row, column);
          // That library drops a result of 0.
          const other = typeof value === 'object' && value !== null && 'formula' in value ? (value.result ?? 0) : value;
          const seen = other instanceof Date ? other.toISOString().slice(0, 10) : other;
          expect([name, row, column, seen]).toEqual([name, row, column, plain(content)]);
        }
      }
    }
  });

  it('keeps a list of words, frozen headings, rules and bars where another library finds them', async () => {
    const book = new ExcelJS.Workbook();
    await book.xlsx.load(file as unknown as ExcelJS.Buffer);
    const runs = book.getWorksheet('Bulk runs')!;
    expect(runs.getTables()).toHaveLength(1);
    expect(runs.views[0]).toMatchObject({ state: 'frozen', ySplit: HEAD_ROW });
    expect(cellOf(runs, 1, 'Basis').dataValidation.formulae).toEqual(['"wet/wet,wet/dry,dry/dry"']);
    const kinds = (runs as unknown as { conditionalFormattings: { rules: { type: string }[] }[] })
      .conditionalFormattings;
    expect(kinds.flatMap(({ rules }) => rules.map(({ type }) => type)).sort()).toEqual(['dataBar', 'expression']);
  });

  it('comes to nobody of another farm', async () => {
    const other = await api.farm('Other');
    const { body } = await farm.call('GET', '/api/workbooks');
    expect((await other.call('GET', `/api/workbooks/${body.items[0].id}/file`)).status).toBe(404);
    expect((await other.call('GET', '/api/workbooks')).body.items).toEqual([]);
  });
});

(soffice ? describe : describe.skip)(soffice ? 'LibreOffice' : 'skipped: no LibreOffice', () => {
  it('calculates every formula to the result in the file, also when that was wrong', async () => {
    await alwaysCalculate(folder.path('.'));
    const path = folder.path('week.xlsx');
    await writeFile(path, file);
    const sheets = await rawSheets(folder.path('.'), path);
    let formulas = 0;
    for (const { name, rows } of cells.sheets) {
      for (const { row, cells: ours } of rows) {
        for (const { column, content, formula } of ours) {
          const theirs = sheets.get(name)?.[row - 1]?.[column - 1];
          if (content.kind === 'number')
            expect([name, row, column, numberOf(theirs)]).toEqual([
              name,
              row,
              column,
              expect.closeTo(content.number, 9),
            ]);
          if (content.kind === 'text') expect([name, row, column, theirs]).toEqual([name, row, column, content.text]);
          if (formula) formulas += 1;
        }
      }
    }
    expect(formulas).toBeGreaterThan(20);
    const wrong = folder.path('wrong.xlsx');
    const asJars = cells.sheets.find(({ name }) => name === 'Bulk runs')!;
    const [first] = asJars.rows.filter(({ row }) => row > HEAD_ROW);
    const wanted = first!.cells.find(({ formula }) => formula)!;
    await writeFile(
      wrong,
      await edited(file, (runs) => {
        const cell = runs.getCell(wanted.row, wanted.column);
        cell.value = { formula: cell.formula, result: 999 } as ExcelJS.CellFormulaValue;
      }),
    );
    const again = await rawSheets(folder.path('.'), wrong);
    expect(Number(again.get('Bulk runs')?.[wanted.row - 1]?.[wanted.column - 1])).toBe(plain(wanted.content));
  });

  it('saves it again, and what comes back then changes nothing', async () => {
    const path = folder.path('resaved.xlsx');
    await writeFile(path, file);
    await convert(folder.path('.'), path, 'xlsx', folder.path('again'));
    const answer = await send(await readFile(folder.path('again/resaved.xlsx')));
    expect(answer.body.problems).toEqual([]);
    expect(answer.body.counts).toEqual({ added: 0, changed: 0, cancelled: 0, unchanged: 3, conflicts: 0 });
  });
});

describe('a workbook that comes back', () => {
  it('unchanged changes nothing', async () => {
    const answer = await send(file);
    expect(answer.body).toMatchObject({ problems: [], changes: [], added: [], counts: { unchanged: 3 } });
  });

  it('says what was changed, added and marked, and does it in one go; the same file again does nothing', async () => {
    const fresh = await madeFile();
    const bytes = await edited(fresh, (runs) => {
      runs.name = 'My runs';
      cellOf(runs, 1, 'Wet substrate kg').value = 44;
      cellOf(runs, 2, 'Note').value = 'mind the straw';
      const last = HEAD_ROW + 4;
      const put = (heading: string, value: ExcelJS.CellValue) => {
        runs.getCell(last, columnOf(runs, heading)).value = value;
      };
      // Below the table, where a person adds; the row of totals moves down in a real program.
      for (let column = 1; column <= 30; column++) runs.getCell(last, column).value = null;
      put('Run', 'Extra run');
      put('Day', new Date('2027-02-01T00:00:00Z'));
      put('Strains, best first', 'oy1');
      put('Wet substrate kg', 25);
      runs.getCell(HEAD_ROW, 25).value = 'My remarks';
      runs.getCell(HEAD_ROW + 1, 25).value = 'nice';
    });
    const answer = await send(bytes);
    expect(answer.body.problems).toEqual([]);
    expect(answer.body).toMatchObject({
      counts: { added: 1, changed: 2, cancelled: 0, conflicts: 0 },
      changes: [
        { column: 'substrate', heading: 'Wet substrate kg', from: 40, to: 44 },
        { column: 'note', heading: 'Note', from: null, to: 'mind the straw' },
      ],
      ignoredColumns: ['My remarks'],
    });
    const before = await runsNow();
    const applied = await apply(answer);
    expect(applied.body).toMatchObject({ state: 'applied', result: '1 added, 2 changed, 0 cancelled.' });
    const after = await runsNow();
    expect(after).toHaveLength(before.length + 1);
    expect(after.find(({ name }: { name: string }) => name === 'Extra run')).toMatchObject({
      ...{ substrateWetKg: 25, day: '2027-02-01', spawnRate: 0.05, basis: 'wet/wet' },
    });
    expect(after.find(({ day }: { day: string }) => day === '2026-12-21')).toMatchObject({ substrateWetKg: 44 });
    const again = await send(bytes);
    expect(again.body.counts).toEqual({ added: 0, changed: 0, cancelled: 0, unchanged: 4, conflicts: 0 });
    const twice = await apply(answer);
    expect(twice.status).toBe(409);
  });

  it('keeps all three values of a conflict, and takes the side that was chosen', async () => {
    const bytes = await edited(await madeFile(), (runs) => {
      cellOf(runs, 1, 'Wet substrate kg').value = 50;
      cellOf(runs, 1, 'Priority').value = 3;
    });
    const [run] = await runsNow();
    await farm.call('PATCH', `/api/runs/${run.id}`, { substrateWetKg: 60 }, { 'if-match': `"${run.revision}"` });
    const answer = await send(bytes);
    expect(answer.body.conflicts).toEqual([
      expect.objectContaining({ heading: 'Wet substrate kg', base: 44, ours: 60, theirs: 50, place: 'D4' }),
    ]);
    const digest = await farmDigest(api.database, farm.growerId);
    expect(
      (await farm.call('POST', `/api/imports/workbook/${answer.body.import.id}/apply`, { seen: 'other' })).status,
    ).toBe(409);
    expect(await farmDigest(api.database, farm.growerId)).toEqual(digest);
    expect((await apply(answer, { cells: { '*/substrate': 'theirs' } })).status).toBe(200);
    expect((await runsNow())[0]).toMatchObject({ substrateWetKg: 50, priority: 3 });
  });

  it('cancels a run only by the mark, never because its row is gone', async () => {
    const fresh = await madeFile();
    const count = (await runsNow()).filter(({ state }: { state: string }) => state === 'planned').length;
    const without = await send(await edited(fresh, (runs) => runs.spliceRows(HEAD_ROW + 2, 1)));
    expect(without.body).toMatchObject({ counts: { cancelled: 0, changed: 0 }, missing: [expect.any(String)] });
    const marked = await send(
      await edited(fresh, (runs) => {
        cellOf(runs, 2, 'Delete').value = 'delete';
      }),
    );
    expect(marked.body.counts).toMatchObject({ cancelled: 1 });
    await apply(marked);
    const planned = (await runsNow()).filter(({ state }: { state: string }) => state === 'planned');
    expect(planned).toHaveLength(count - 1);
  });

  it('explains a copied row and adds it only when that is chosen', async () => {
    const bytes = await edited(await madeFile(), (runs) => {
      const from = runs.getRow(HEAD_ROW + 1);
      const to = runs.getRow(HEAD_ROW + 6);
      from.eachCell((cell, column) => {
        to.getCell(column).value = cell.value;
      });
      to.getCell(columnOf(runs, 'Day')).value = new Date('2027-03-01T00:00:00Z');
    });
    const answer = await send(bytes);
    expect(answer.body.copies).toEqual([
      expect.objectContaining({
        place: 'A9',
        firstPlace: 'A4',
        same: false,
        explanation: expect.stringContaining('copied'),
      }),
    ]);
    const before = (await runsNow()).length;
    await apply(answer, { copies: { A9: 'add' } });
    expect(await runsNow()).toHaveLength(before + 1);
  });

  it('is refused with the reason when it is of another farm, tampered with, stale, or has mistakes; nothing changes', async () => {
    const other = await api.farm('Other');
    const runs = await runsNow();
    expect((await send(file, other)).body.problems[0].rule).toBe('This workbook is of another farm.');
    const tampered = await edited(file, (_, book) => {
      book.getWorksheet('Do not change')!.getCell('D4').value = other.growerId;
    });
    expect((await send(tampered, other)).body.problems[0].rule).toContain('hidden sheet of Jarfold was changed');
    const bad = await edited(await madeFile(), (sheet) => {
      cellOf(sheet, 1, 'Wet substrate kg').value = '1.234';
      cellOf(sheet, 1, 'Day').value = '03/04/2027';
      cellOf(sheet, 2, 'Strains, best first').value = 'OY9';
      cellOf(sheet, 2, 'Priority').value = 12;
    });
    const answer = await send(bad);
    expect(answer.body.problems.map(({ cell, code }: { cell: string; code: string }) => [cell, code])).toEqual([
      ['B4', 'ambiguous-day'],
      ['D4', 'ambiguous-number'],
      ['J5', 'out-of-range'],
    ]);
    expect((await apply({ ...answer, body: { ...answer.body, seen: 'x' } })).status).toBe(422);
    expect(await runsNow()).toEqual(runs);
    const unknown = await send(
      await edited(await madeFile(), (sheet) => {
        cellOf(sheet, 1, 'Strains, best first').value = 'OY9';
      }),
    );
    expect(unknown.body.problems).toEqual([expect.objectContaining({ cell: 'C4', code: 'unknown-name' })]);
    expect((await send(Buffer.from('a,b\n1,2'))).body.problems[0].code).toBe('not-a-workbook');
  });
});
