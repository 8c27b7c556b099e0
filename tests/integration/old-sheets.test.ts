/** A farm's own old spreadsheets: asked about, and shown before anything comes in. */
import { BenchService } from '@jarfold/server';
import { systemIds } from '@jarfold/server/platform';
import { describe, expect, it, jest } from '@jest/globals';
import ExcelJS from 'exceljs';
import type { Answer } from '../support/api-app.js';
import { NOW, oldSheetsFarm } from '../support/old-sheets-farm.js';
import { oldWorkbook } from '../support/old-workbook.js';

jest.setTimeout(120_000);

const { send, understand, sayYes, look, work, jarsNow, codesNow, runsNow, chain, answered, at } = oldSheetsFarm();

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
      (await at.farm.call('GET', '/api/stock/jars?limit=200')).body.items.map((jar: { code: string }) => [
        jar.code,
        jar,
      ]),
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
    const { entries } = (await at.farm.call('GET', '/api/bench/entries?limit=100')).body;
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
    const marked = await at.farm.call('GET', `/api/imports/old-sheets/${shown.body.import.id}/marked-copy`);
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
    const c3 = (await at.farm.call('GET', '/api/stock/jars?limit=200')).body.items.find(
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
    await at.farm.call('POST', '/api/farm/sizes', { name: 'Litre jar', volumeMl: 1000 });
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
    await at.farm.call('POST', '/api/farm/sizes', {
      name: 'Bag',
      volumeMl: 2000,
      container: 'bag',
      carrier: 'sawdust',
    });
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
    const draws = await at.api.database.sql<{ run_id: string; code: string; left: string }>(
      `SELECT draw.run_id, jar.code, jar.left_g AS left FROM jar_draw draw JOIN jar ON jar.id = draw.jar_id
        WHERE draw.grower_id = $1`,
      [at.farm.growerId],
    );
    expect(draws).toEqual([{ run_id: run.id, code: 'J1', left: '0.000' }]);
    const { entries } = (await at.farm.call('GET', '/api/bench/entries?limit=100')).body;
    expect(entries[0].payload).toMatchObject({ container: 'bag', carrier: 'sawdust' });
    const rebuilt = await new BenchService(at.api.database.growerDb, { now: () => NOW }, systemIds).rebuildProjections({
      growerId: at.farm.growerId,
      staffId: at.farm.staffId,
      role: 'owner',
    });
    expect(rebuilt.entries).toBe(entries.length);
    expect(await codesNow()).toEqual(['J2']);
  });

  it('is shown anew when a day that was worked out would be another now', async () => {
    await at.farm.call('POST', '/api/farm/sizes', {
      name: 'Bag',
      volumeMl: 2000,
      container: 'bag',
      carrier: 'sawdust',
    });
    const list = 'Code,Strain,Gen,Size,State,Made on\nJ2,BO1,1,Bag,ripe,2026-11-01\n';
    const shown = await send(Buffer.from(list), 'ripe.csv');
    expect(shown.body).toMatchObject({ questions: [], workedOut: { 'ripe-day-worked-out': 1 } });
    const first = { 'if-match': '"1"' };
    expect((await at.farm.call('PATCH', `/api/farm/strains/${at.strainId}`, { daysToRipe: 20 }, first)).status).toBe(
      200,
    );
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
    const harvests = await at.api.database.sql<{ day: string }>(
      `SELECT run.day::text AS day FROM harvest JOIN bulk_run run ON run.id = harvest.run_id WHERE harvest.grower_id = $1`,
      [at.farm.growerId],
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
