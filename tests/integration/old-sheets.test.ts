/** A farm's own old spreadsheets: asked about, shown, brought in at once, taken back at once. */
import { AsyncLocalStorage } from 'node:async_hooks';
import { randomUUID } from 'node:crypto';
import { setTimeout as sleep } from 'node:timers/promises';
import { BenchService, lockLog, OldSheetsBringer } from '@jarfold/server';
import { AppError, systemIds } from '@jarfold/server/platform';
import { readOldSheets } from '@jarfold/workbook';
import { afterAll, beforeAll, beforeEach, describe, expect, it, jest } from '@jest/globals';
import ExcelJS from 'exceljs';
import { type Answer, startApi, type TestApi, type World } from '../support/api-app.js';
import { oldWorkbook } from '../support/old-workbook.js';
import { FILE_HEADERS } from '../support/recipes/workbooks.js';

jest.setTimeout(120_000);

const NOW = new Date('2026-11-25T09:00:00Z');

let api: TestApi;
let farm: World;
let strainId: string;
let shelfId: string;

beforeAll(async () => {
  api = await startApi({ clock: () => NOW });
});
afterAll(() => api.close());

beforeEach(async () => {
  farm = await api.farm('Farm');
  strainId = (
    await farm.call('POST', '/api/farm/strains', {
      code: 'BO1',
      name: 'Blue oyster',
      speciesKey: 'pleurotus-ostreatus',
    })
  ).body.id;
  const room = (await farm.call('POST', '/api/farm/rooms', { name: 'Warm room', kind: 'incubation' })).body;
  shelfId = (await farm.call('POST', '/api/farm/shelves', { roomId: room.id, name: 'A', rows: 4, placesPerRow: 10 }))
    .body.id;
});

const send = (bytes: Buffer, name = 'cellar.xlsx') =>
  farm.call('POST', `/api/imports/old-sheets?name=${encodeURIComponent(name)}`, bytes, FILE_HEADERS);
const understand = ({ body }: Answer, tables: object) =>
  farm.call('PUT', `/api/imports/old-sheets/${body.import.id}/mapping`, { tables });
const sayYes = ({ body }: Answer, withoutRefused = false) =>
  farm.call('POST', `/api/imports/old-sheets/${body.import.id}/bring-in`, { seen: body.seen, withoutRefused });
const look = (id: string) => farm.call('GET', `/api/imports/old-sheets/${id}`);
const bringer = (watch: ConstructorParameters<typeof OldSheetsBringer>[3] = {}) =>
  new OldSheetsBringer(api.database.growerDb, { now: () => NOW }, (bytes, name) => readOldSheets(bytes, name), watch);
/** What stands outside the bringing in, as another process does: no transaction of it is open there. */
const outside = AsyncLocalStorage.snapshot();
const work = (id: string, { beforeSwitch }: { readonly beforeSwitch?: () => Promise<void> } = {}) =>
  bringer(beforeSwitch ? { beforeSwitch: () => outside(beforeSwitch) } : {}).bringIn(farm.growerId, id);

const jarsNow = async () =>
  (await farm.call('GET', '/api/stock/jars?limit=200')).body.items as { code: string; state: string }[];
const codesNow = async () => (await jarsNow()).map(({ code }) => code).sort();
const runsNow = async () => (await farm.call('GET', '/api/runs?state=all')).body.items;
const chain = async () => (await farm.call('GET', '/api/bench/chain')).body;

/** What the farm answers about the old workbook. */
const answers = (mapping: Record<string, { words: object; units: object; columns: object }>) => {
  const strain = { 'blue oy.': { to: 'known', id: strainId } };
  const jars = mapping['1.1']!;
  return {
    '1.1': {
      ...jars,
      dayOrder: 'day-month-year',
      decimalMark: 'comma',
      forAllRows: { size: 'litre', goneOn: '2026-11-01' },
      words: {
        ...jars.words,
        strain,
        size: { litre: { to: 'new-size', name: 'Litre jar', volumeMl: 1000, container: 'jar', carrier: 'grain' } },
        place: { warm: { to: 'known', id: shelfId }, cold: { to: 'new-room', name: 'Cold cellar', kind: 'cold' } },
      },
    },
    '1.2': { ...mapping['1.2']!, words: { strain } },
    '2.1': mapping['2.1']!,
  };
};

async function answered(bytes?: Buffer): Promise<Answer> {
  const sent = await send(bytes ?? (await oldWorkbook()));
  return understand(sent, answers(sent.body.mapping));
}

describe('an old workbook', () => {
  it('is asked about before anything else: days, numbers, words and what no column says', async () => {
    const { status, body } = await send(await oldWorkbook());
    expect(status).toBe(201);
    expect(body.tables.map(({ key, sheet, title, rows }: never) => [key, sheet, title, rows])).toEqual([
      ['1.1', 'Cellar', 'Jars in the cellar', 7],
      ['1.2', 'Cellar', 'Straw', 2],
      ['2.1', 'Picked', null, 2],
    ]);
    expect(body.tables[0].columns.map(({ heading }: never) => heading)).toEqual([
      ...[
        'Jar code',
        'Jar strain',
        'Jar gen',
        'Jar state',
        'Days made',
        'Days ripe',
        'Spawn kg left',
        'shelf',
        'remarks',
      ],
    ]);
    expect(body.mapping['1.1'].units).toEqual({ gramsLeft: 'kg' });
    const asked = body.questions.map(({ table, about, field, word }: never) =>
      [table, about, field, word].filter((each) => each !== null).join(' '),
    );
    expect(asked.sort()).toEqual([
      '1.1 day-order',
      '1.1 decimal-mark',
      '1.1 missing-field size',
      '1.1 word place cold',
      '1.1 word place warm',
      '1.1 word strain Blue oy.',
      '1.2 word strain Blue oy.',
    ]);
    expect((await sayYes({ body } as Answer)).status).toBe(422);
    expect(await jarsNow()).toEqual([]);
  });

  it('says what it would bring in, what it refuses and why, and what it leaves out', async () => {
    const { body } = await answered();
    expect(body.questions).toEqual([]);
    expect(body.counts).toEqual({
      ...{ lots: 4, jars: 5, runs: 2, harvests: 2, strains: 0, sizes: 1, rooms: 1, refused: 2, already: 0, leftOut: 1 },
    });
    expect(body.refused).toMatchObject([
      {
        sheet: 'Cellar',
        cell: 'E11',
        value: '31/02/2026',
        code: 'not-a-day',
        advice: expect.stringContaining('YYYY-MM-DD'),
      },
      { sheet: 'Cellar', cell: 'A12', value: 'C1', code: 'repeated-id', rule: expect.stringContaining('Cellar!A5') },
    ]);
    expect(body.leftOut).toMatchObject([{ row: 13, why: 'total' }]);
    expect((await sayYes({ body } as Answer)).body).toMatchObject({ code: 'rule-refused' });
    expect([await jarsNow(), await runsNow()]).toEqual([[], []]);
  });

  it('comes into stock whole, with its history, and the log’s chain holds', async () => {
    const shown = await answered();
    const { body } = await sayYes(shown, true);
    expect(body).toMatchObject({ state: 'waiting', kind: 'old-records' });
    expect(await work(body.id)).toBe('applied');
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
    const jars = Object.fromEntries(
      (await farm.call('GET', '/api/stock/jars?limit=200')).body.items.map((jar: { code: string }) => [jar.code, jar]),
    );
    expect(jars.C1).toMatchObject({
      state: 'ripe',
      gramsLeft: 500,
      madeOn: '2026-11-03',
      ripeOn: '2026-11-17',
      place: { shelfName: 'A' },
    });
    expect(jars.C3).toMatchObject({
      state: 'chilled',
      gramsLeft: 1234,
      madeOn: '2026-10-01',
      place: { roomName: 'Cold cellar' },
    });
    expect(jars.C4).toMatchObject({ state: 'incubating', madeOn: '2026-11-20' });
    const runs = await runsNow();
    expect(runs.map(({ name, state }: never) => [name, state])).toEqual([
      ['Straw 1', 'done'],
      ['Straw 2', 'planned'],
    ]);
    const { entries } = (await farm.call('GET', '/api/bench/entries?limit=100')).body;
    const kinds = entries.map(({ kind, effectiveDay }: never) => `${effectiveDay} ${kind}`);
    expect(kinds).toEqual([
      '2026-10-01 received',
      '2026-10-01 harvested',
      '2026-10-14 harvested',
      '2026-10-20 received',
      '2026-11-01 contamination_found',
      '2026-11-01 discarded',
      '2026-11-03 received',
      '2026-11-20 received',
      '2026-11-25 noted',
      '2026-11-25 noted',
    ]);
    expect(new Set(entries.map(({ deviceId }: never) => deviceId)).size).toBe(1);
    expect(await chain()).toMatchObject({ intact: true, checked: entries.length, next: null });
    expect((await look(body.id)).body.import).toMatchObject({ state: 'applied', progress: { done: 13, total: 13 } });
  });

  it('is given back with its refused cells marked, and read again as if it were not', async () => {
    const shown = await answered();
    const marked = await farm.call('GET', `/api/imports/old-sheets/${shown.body.import.id}/marked-copy`);
    const book = new ExcelJS.Workbook();
    await book.xlsx.load(marked.bytes as unknown as ExcelJS.Buffer);
    expect(book.worksheets.map(({ name }) => name)).toEqual(['Mistakes', 'Cellar', 'Picked']);
    expect(JSON.stringify(book.getWorksheet('Cellar')?.getCell('E11').note)).toContain('A day is needed here.');
    expect((await send(marked.bytes)).body.tables).toEqual(shown.body.tables);
  });

  it('is the same stock when it counts its days from 1904', async () => {
    const shown = await answered(await oldWorkbook({ date1904: true }));
    await sayYes(shown, true);
    await work(shown.body.import.id);
    const c3 = (await farm.call('GET', '/api/stock/jars?limit=200')).body.items.find(
      ({ code }: { code: string }) => code === 'C3',
    );
    expect(c3.madeOn).toBe('2026-10-01');
  });

  it('sent twice adds nothing, and how it is to be understood is remembered', async () => {
    const first = await answered();
    await sayYes(first, true);
    await work(first.body.import.id);
    const { body } = await send(await oldWorkbook(), 'the same.xlsx');
    expect(body).toMatchObject({ remembered: true, questions: [] });
    expect(body.counts).toMatchObject({ lots: 0, jars: 0, runs: 0, harvests: 0, sizes: 0, rooms: 0, already: 9 });
    expect((await sayYes({ body } as Answer, true)).body.detail).toContain('nothing that the farm does not have');
  });

  it('is brought in once when its job is delivered twice', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    const became = await Promise.all([work(shown.body.import.id), work(shown.body.import.id)]);
    expect([...became, await work(shown.body.import.id)].sort()).toEqual(['applied', 'nothing-to-do', 'nothing-to-do']);
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
  });

  it('leaves nothing behind when the worker dies before the end, and the next one brings all of it', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    const dies = async () => {
      throw new Error('power cut');
    };
    await expect(work(shown.body.import.id, { beforeSwitch: dies })).rejects.toThrow('power cut');
    expect([await jarsNow(), await runsNow(), (await chain()).checked]).toEqual([[], [], 0]);
    expect((await farm.call('GET', '/api/farm')).body.sizes).toEqual([]);
    expect((await look(shown.body.import.id)).body.import).toMatchObject({
      state: 'running',
      result: expect.stringContaining('A fault stopped it, and nothing was brought in'),
    });
    expect(await work(shown.body.import.id)).toBe('applied');
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
  });

  it('fails with its reason when what it says cannot be stored, instead of being tried for ever', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    const tooLarge = async () => {
      throw new AppError('invalid-input', 'A value lies outside what can be stored.');
    };
    expect(await work(shown.body.import.id, { beforeSwitch: tooLarge })).toBe('failed');
    expect((await look(shown.body.import.id)).body.import).toMatchObject({
      state: 'failed',
      result: 'Nothing was brought in. A value lies outside what can be stored.',
    });
    expect([await jarsNow(), await runsNow()]).toEqual([[], []]);
  });

  it('lets tablets record while it is being written, and stands behind what they said', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    let meanwhile: Answer | null = null;
    const note = async () => {
      const entry = {
        id: randomUUID(),
        sequence: 1,
        happenedAt: NOW.toISOString(),
        kind: 'noted',
        payload: { text: 'meanwhile' },
      };
      meanwhile = await farm.call('POST', '/api/bench/entries', {
        deviceId: randomUUID(),
        sentAt: NOW.toISOString(),
        entries: [entry],
      });
    };
    expect(await work(shown.body.import.id, { beforeSwitch: note })).toBe('applied');
    expect((meanwhile as Answer | null)?.body.answers[0]).toMatchObject({ outcome: 'applied', position: 1 });
    expect(await chain()).toMatchObject({ intact: true, checked: 11 });
  });

  it('gives way while somebody holds the log for long, and comes in when it is free', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    let tries = 0;
    let held: Promise<void> = Promise.resolve();
    const holdOnce = async () => {
      tries += 1;
      if (tries > 1) return held;
      await new Promise<void>((locked) => {
        held = api.database.growerDb.run(farm, async (tx) => {
          await lockLog(tx, farm.growerId);
          locked();
          await sleep(1500);
        });
      });
    };
    expect(await work(shown.body.import.id, { beforeSwitch: holdOnce })).toBe('applied');
    expect(tries).toBe(2);
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
  });

  it('is not brought in when it is cancelled on the way', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    const cancel = async () => {
      expect((await farm.call('POST', `/api/imports/${shown.body.import.id}/cancel`)).status).toBe(200);
    };
    expect(await work(shown.body.import.id, { beforeSwitch: cancel })).toBe('cancelled');
    expect([await jarsNow(), await runsNow()]).toEqual([[], []]);
    // It can be looked at again and brought in after all.
    const again = await look(shown.body.import.id);
    expect(again.body.import.state).toBe('cancelled');
    expect((await sayYes(again, true)).status).toBe(200);
    expect(await work(shown.body.import.id)).toBe('applied');
  });

  it('is not brought in when it is cancelled just as the worker takes it', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    const { id } = shown.body.import;
    let working: Promise<string> = Promise.resolve('not begun');
    await api.database.growerDb.run(farm, async (tx) => {
      const where = { growerId_id: { growerId: farm.growerId, id } };
      await tx.fileImport.update({ where, data: { state: 'cancelled' } });
      working = outside(() => work(id));
      await sleep(500);
    });
    expect(await working).toBe('nothing-to-do');
    expect([await jarsNow(), await runsNow()]).toEqual([[], []]);
  });

  it('fails with its reason, and nothing of it, when the farm changes while it waits', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    await farm.call('POST', '/api/farm/rooms', { name: 'Cold cellar', kind: 'cold' });
    const late = await farm.call('POST', '/api/farm/sizes', { name: 'Litre jar', volumeMl: 1000 });
    expect(late.status).toBe(201);
    expect(await work(shown.body.import.id)).toBe('failed');
    expect((await look(shown.body.import.id)).body.import).toMatchObject({
      state: 'failed',
      result: expect.stringContaining('already'),
    });
    expect([await jarsNow(), await runsNow()]).toEqual([[], []]);
  });

  it('is refused when it changed since it was shown, and when a new thing takes a name in use', async () => {
    const shown = await answered();
    const stale = { body: { ...shown.body, seen: 'another' } } as Answer;
    expect((await sayYes(stale, true)).status).toBe(409);
    await farm.call('POST', '/api/farm/sizes', { name: 'litre JAR', volumeMl: 900 });
    const again = await understand(shown, answers(shown.body.mapping));
    expect(again.status).toBe(409);
    expect(again.body.errors[0].pointer).toBe('/tables/1.1/words/size/litre');
  });

  it('is taken back whole, by corrections, and can then be brought in again', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    await work(shown.body.import.id);
    const back = await farm.call('POST', `/api/imports/old-sheets/${shown.body.import.id}/take-back`);
    expect(back.body).toMatchObject({ entries: 10, runs: 2, import: { state: 'cancelled' } });
    expect([await jarsNow(), (await runsNow()).map(({ state }: never) => state)]).toEqual([
      [],
      ['cancelled', 'cancelled'],
    ]);
    expect(await chain()).toMatchObject({ intact: true, checked: 20 });
    const again = await send(await oldWorkbook());
    expect(again.body.counts).toMatchObject({ jars: 5, runs: 2, harvests: 2 });
    await sayYes(again, true);
    expect(await work(again.body.import.id)).toBe('applied');
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
  });

  it('is brought in again from what was sent once, after it was taken back', async () => {
    const shown = await answered();
    const { id } = shown.body.import;
    await sayYes(shown, true);
    await work(id);
    await farm.call('POST', `/api/imports/old-sheets/${id}/take-back`);
    const again = await look(id);
    // What was made new with the file is the farm's own by now.
    expect(again.body).toMatchObject({ questions: [], counts: { jars: 5, runs: 2, harvests: 2, sizes: 0, rooms: 0 } });
    expect((await sayYes(again, true)).status).toBe(200);
    expect(await work(id)).toBe('applied');
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
    expect(await chain()).toMatchObject({ intact: true, checked: 30 });
    expect((await farm.call('POST', `/api/imports/old-sheets/${id}/take-back`)).body).toMatchObject({ entries: 10 });
    expect(await jarsNow()).toEqual([]);
  });

  it('is not taken back once something happened to one of its jars, and says so', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    await work(shown.body.import.id);
    const { id } = (await farm.call('GET', '/api/stock/jars?code=C1')).body.items[0];
    const entry = {
      id: randomUUID(),
      sequence: 1,
      happenedAt: NOW.toISOString(),
      kind: 'opened',
      payload: { jarIds: [id] },
    };
    await farm.call('POST', '/api/bench/entries', {
      deviceId: randomUUID(),
      sentAt: NOW.toISOString(),
      entries: [entry],
    });
    const back = await farm.call('POST', `/api/imports/old-sheets/${shown.body.import.id}/take-back`);
    expect(back).toMatchObject({
      status: 422,
      body: {
        detail: expect.stringMatching(/cannot be taken back as a whole: something was recorded about C1 on 2026-11-25/),
      },
    });
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
  });
});

describe('an old list as CSV', () => {
  const LIST =
    'Lot;Anzahl;Sorte;Gen;Zustand;Beimpft am;Gewicht\r\nK7;3;Blauer;1;reif;05.11.2026;1.234 g\r\n;2;Blauer;1;reif;13.11.2026;0,4 kg\r\n';

  it('is read with its encoding and separator, asks what is unclear, and comes in', async () => {
    const { body } = await send(Buffer.from(LIST, 'latin1'), 'Gläser.csv');
    expect(body.text).toEqual({ encoding: 'UTF-8', separator: ';' });
    expect(body.questions.map(({ about, field, suggestion }: never) => [about, field, suggestion])).toEqual([
      ['missing-field', 'size', null],
      ['day-order', null, 'day-month-year'],
      ['decimal-mark', null, 'comma'],
      ['word', 'strain', null],
    ]);
    const table = body.mapping['1.1'];
    await farm.call('POST', '/api/farm/sizes', { name: 'Litre jar', volumeMl: 1000 });
    const words = {
      ...table.words,
      strain: { blauer: { to: 'new-strain', code: 'PO2', name: 'Blauer', speciesKey: 'pleurotus-ostreatus' } },
    };
    const told = await understand({ body } as Answer, {
      '1.1': { ...table, dayOrder: 'day-month-year', decimalMark: 'comma', forAllRows: { size: 'Litre jar' }, words },
    });
    expect(told.body).toMatchObject({ questions: [], counts: { lots: 2, jars: 5, strains: 1, refused: 0 } });
    await sayYes(told);
    expect(await work(body.import.id)).toBe('applied');
    expect(await codesNow()).toEqual(['K7/01', 'K7/02', 'K7/03', 'PO2-26W46-1/01', 'PO2-26W46-1/02']);
    const again = await send(Buffer.from(LIST), 'again.csv');
    expect(again.body.counts).toMatchObject({ lots: 0, jars: 0, already: 2 });
  });

  it('tells which spawn went into which run of the same file', async () => {
    await farm.call('POST', '/api/farm/sizes', { name: 'Bag', volumeMl: 2000, container: 'bag', carrier: 'sawdust' });
    const bytes = Buffer.from(
      [
        'Run,Day,Strain,Substrate kg',
        'Straw 1,2026-10-20,BO1,80',
        '',
        'Code,Strain,Gen,Size,State,Made on,Used on,Used for run',
        'J1,BO1,1,Bag,used up,2026-09-20,2026-10-20,Straw 1',
        'J2,BO1,1,Bag,ripe,2026-11-01,,',
      ].join('\n'),
    );
    const shown = await send(bytes, 'runs.csv');
    expect(shown.body).toMatchObject({ questions: [], counts: { jars: 2, runs: 1, refused: 0 } });
    await sayYes(shown);
    expect(await work(shown.body.import.id)).toBe('applied');
    const [run] = await runsNow();
    const draws = await api.database.sql<{ run_id: string; code: string; left: string }>(
      `SELECT draw.run_id, jar.code, jar.left_g AS left FROM jar_draw draw JOIN jar ON jar.id = draw.jar_id
        WHERE draw.grower_id = $1`,
      [farm.growerId],
    );
    expect(draws).toEqual([{ run_id: run.id, code: 'J1', left: '0.000' }]);
    const { entries } = (await farm.call('GET', '/api/bench/entries?limit=100')).body;
    expect(entries[0].payload).toMatchObject({ container: 'bag', carrier: 'sawdust' });
    const rebuilt = await new BenchService(api.database.growerDb, { now: () => NOW }, systemIds).rebuildProjections({
      growerId: farm.growerId,
      staffId: farm.staffId,
      role: 'owner',
    });
    expect(rebuilt.entries).toBe(entries.length);
    expect(await codesNow()).toEqual(['J2']);
  });

  it('is shown anew when a day that was worked out would be another now', async () => {
    await farm.call('POST', '/api/farm/sizes', { name: 'Bag', volumeMl: 2000, container: 'bag', carrier: 'sawdust' });
    const list = 'Code,Strain,Gen,Size,State,Made on\nJ2,BO1,1,Bag,ripe,2026-11-01\n';
    const shown = await send(Buffer.from(list), 'ripe.csv');
    expect(shown.body).toMatchObject({ questions: [], workedOut: { 'ripe-day-worked-out': 1 } });
    const first = { 'if-match': '"1"' };
    expect((await farm.call('PATCH', `/api/farm/strains/${strainId}`, { daysToRipe: 20 }, first)).status).toBe(200);
    expect((await sayYes(shown)).status).toBe(409);
    expect((await sayYes(await look(shown.body.import.id))).status).toBe(200);
  });

  it('brings a harvest into the run of its name that the farm has for that day', async () => {
    const sent = async (runs: string, picked: string, name: string) => {
      const shown = await send(Buffer.from(`Run,Day,Strain,Substrate kg\n${runs}\n\n${picked}`), name);
      expect((await sayYes(shown)).status).toBe(200);
      expect(await work(shown.body.import.id)).toBe('applied');
    };
    await sent('Straw,2026-09-01,BO1,80', '', 'first.csv');
    await sent('Straw,2026-10-01,BO1,80', '', 'second.csv');
    await sent('Straw,2026-10-01,BO1,80', 'Run,Picked,Flush,Grams\nStraw,2026-11-10,1,9000', 'third.csv');
    const harvests = await api.database.sql<{ day: string }>(
      `SELECT run.day::text AS day FROM harvest JOIN bulk_run run ON run.id = harvest.run_id WHERE harvest.grower_id = $1`,
      [farm.growerId],
    );
    expect(harvests).toEqual([{ day: '2026-10-01' }]);
  });

  it('has a name of one line, and columns that say different things', async () => {
    expect((await send(Buffer.from(LIST), 'two\nlines.csv')).status).toBe(400);
    const sent = await send(Buffer.from(LIST), 'list.csv');
    const { mapping } = sent.body;
    const twice = { '1.1': { ...mapping['1.1'], columns: { 1: 'code', 2: 'code' } } };
    const refused = await understand(sent, twice);
    expect([refused.status, refused.body.errors[0].pointer]).toEqual([400, '/tables/1.1/columns']);
    const vast = { to: 'new-size', name: 'Vat', volumeMl: 60_000, container: 'jar', carrier: 'grain' };
    const words = { '1.1': { ...mapping['1.1'], words: { size: { litre: vast } } } };
    expect((await understand(sent, words)).body.errors[0].detail).toBe('At most 50 litres.');
  });

  it('says why a file is none, and keeps that', async () => {
    const { status, body } = await send(Buffer.from([0, 1, 2, 3, 4, 5, 6, 7]), 'photo.jpg');
    expect([status, body.problems[0].code]).toEqual([201, 'not-a-workbook']);
    expect((await look(body.import.id)).body.problems).toHaveLength(1);
    expect((await sayYes({ body: { ...body, seen: 'x' } } as Answer)).status).toBe(422);
    expect((await send(Buffer.from('just,words\n'), 'words.csv')).body.problems[0].code).toBe('no-rows');
  });
});
