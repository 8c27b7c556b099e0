/** A whole farm out of one grower and into another. */
import { randomUUID } from 'node:crypto';
import { gzipSync } from 'node:zlib';
import { FARM_TABLES, farmLines, NOT_EXPORTED, Progress, WholeFarmService } from '@jarfold/server';
import { systemClock } from '@jarfold/server/platform';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { defaultLimits } from '../../libs/workbook/src/package/limits.js';
import { readCells } from '../../libs/workbook/src/package/read-cells.js';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { plantFarm } from '../support/planted-farm.js';
import { FILE_HEADERS } from '../support/recipes/workbooks.js';

const NOW = new Date('2026-11-25T09:00:00Z');
let api: TestApi;
let farm: World;
let lines: string[];

const contextOf = ({ growerId, staffId, role }: World) => ({ growerId, staffId, role });
const service = () => new WholeFarmService(api.database.growerDb, systemClock);

beforeAll(async () => {
  api = await startApi({ clock: () => NOW });
  farm = await api.farm('Farm');
  const lots = [0, 1, 2].map((day) => ({ day: day * 7, mother: day % 2, bad: day, jars: 5, ripeAfter: 14 }));
  await plantFarm(farm, { now: NOW, start: '2026-09-01', mothers: 2, lots });
  lines = [...farmLines(await service().read(contextOf(farm)))];
});
afterAll(() => api.close());

describe('a whole farm', () => {
  it('goes into an empty one to an equal state, with its log unbroken', async () => {
    const other = await api.farm('Other');
    const before = await service().read(contextOf(farm));
    const seen: number[] = [];
    const progress = new Progress();
    const step = progress.step.bind(progress);
    progress.step = (done) => {
      seen.push(done);
      step(done);
    };
    const brought = await service().bringIn(contextOf(other), lines, progress);
    expect(brought.stateHash).toBe(before.stateHash);
    expect(seen.at(-1)).toBe(lines.length - 1);
    const after = await service().read(contextOf(other));
    expect(after.stateHash).toBe(before.stateHash);
    expect((await other.call('GET', '/api/bench/chain')).body).toMatchObject({ intact: true });
    const jars = (world: World) => world.call('GET', '/api/stock/jars?onHand=false&limit=500');
    expect((await jars(other)).body).toEqual((await jars(farm)).body);
  });

  it('is refused by a farm that has something, and when the file is cut, altered or none; nothing stays', async () => {
    const filled = contextOf(farm);
    await expect(service().bringIn(filled, lines)).rejects.toMatchObject({ code: 'conflict' });
    const other = await api.farm('Empty');
    const into = contextOf(other);
    const altered = lines.map((line) =>
      line.replace('"state":"incubating"', '"state":"ripe"').replace('"state": "ripe"', '"state": "chilled"'),
    );
    const cases: readonly (readonly string[])[] = [
      lines.slice(0, -3),
      altered.some((line, at) => line !== lines[at]) ? altered : lines.slice(1),
      ['{"format":"other"}'],
      ['not json'],
      [...lines, '{"table":"session","row":{}}'],
      [...lines, '{"table":"jar","row":{"id\\"; DROP TABLE jar; --":1}}'],
    ];
    for (const broken of cases) {
      await expect(service().bringIn(into, broken)).rejects.toMatchObject({ name: 'AppError' });
      expect((await other.call('GET', '/api/farm')).body.strains).toEqual([]);
    }
  });

  it('is refused by a farm that has counted its grain or said who is away', async () => {
    const counted = await api.farm('Counted');
    const count = { id: randomUUID(), grain: 'rye', kind: 'counted', massG: 1000 };
    expect((await counted.call('POST', '/api/preparation/grain', count)).status).toBe(201);
    const away = await api.farm('Away');
    const { items } = (await away.call('GET', '/api/staff')).body;
    const period = { firstDay: '2026-12-01', lastDay: '2026-12-02', note: null };
    const said = { benchMinutes: null, away: [period] };
    const url = `/api/staff/${items[0].staffId}/bench-time`;
    expect((await away.call('PUT', url, said, { 'if-match': `"${items[0].revision}"` })).status).toBe(200);
    for (const world of [counted, away]) {
      await expect(service().bringIn(contextOf(world), lines)).rejects.toMatchObject({ code: 'conflict' });
    }
  });

  it('leaves no table of a farm out without a reason', async () => {
    const tables = await api.database.sql<{ table_name: string }>(
      `SELECT table_name FROM information_schema.columns JOIN information_schema.tables USING (table_schema, table_name)
        WHERE table_schema = 'public' AND column_name = 'grower_id' AND table_type = 'BASE TABLE'`,
    );
    const known = [...FARM_TABLES, ...Object.keys(NOT_EXPORTED)];
    expect(tables.map(({ table_name: name }) => name).filter((name) => !known.includes(name))).toEqual([]);
  });

  it('is made for its owner only, in three forms, told how far and stopped when wanted', async () => {
    const asked = async (form: string) => {
      const { body } = await farm.call('POST', '/api/exports/farm', { form });
      expect(body).toMatchObject({ kind: 'whole-farm', form, state: 'waiting', fileName: '' });
      return body.id;
    };
    const made = async (form: string) => {
      const id = await asked(form);
      expect(await farm.make(id)).toBe('ready');
      return farm.call('GET', `/api/exports/${id}/file`);
    };
    expect((await made('jsonl')).text.split('\n')).toHaveLength(lines.length + 1);
    const { sheets } = await readCells((await made('xlsx')).bytes, { ...defaultLimits, sheets: 200 });
    expect(sheets.map(({ name }) => name)).toContain('bench_entry');
    expect((await made('csv')).bytes.subarray(0, 2).toString()).toBe('PK');
    const stopped = await asked('jsonl');
    expect((await farm.call('GET', `/api/exports/${stopped}/file`)).status).toBe(409);
    expect((await farm.call('POST', `/api/exports/${stopped}/cancel`)).body.state).toBe('cancelled');
    expect(await farm.make(stopped)).toBe('nothing-to-do');
    const lead = await farm.colleague('lead');
    expect((await lead.call('POST', '/api/exports/farm', {})).status).toBe(403);
    expect((await lead.call('GET', '/api/exports')).body.items).toEqual([]);
    expect((await lead.call('POST', `/api/exports/${stopped}/cancel`)).status).toBe(404);
    expect((await farm.call('GET', '/api/exports')).body.items).toHaveLength(4);
  });

  it('comes in by its file, packed or plain: first shown, then brought in by the worker, once', async () => {
    const other = await api.farm('Other');
    const sent = await other.call(
      'POST',
      '/api/imports/farm?name=farm.jsonl',
      gzipSync(lines.join('\n')),
      FILE_HEADERS,
    );
    const { stateHash } = await service().read(contextOf(farm));
    expect(sent.body).toMatchObject({ empty: true, problems: [], farm: { rows: lines.length - 1, stateHash } });
    const { id } = sent.body.import;
    expect((await farm.call('POST', `/api/imports/farm/${id}/bring-in`)).status).toBe(404);
    expect((await farm.call('GET', `/api/imports/farm/${id}`)).status).toBe(404);
    expect((await other.call('POST', `/api/imports/farm/${id}/bring-in`)).body).toMatchObject({ state: 'waiting' });
    expect(await other.bringIn(id)).toBe('applied');
    const after = (await other.call('GET', `/api/imports/farm/${id}`)).body;
    expect(after).toMatchObject({ empty: false, import: { state: 'applied', progress: { done: lines.length - 1 } } });
    expect(after.import.result).toContain(stateHash);
    expect(await other.bringIn(id)).toBe('nothing-to-do');
    expect((await other.call('GET', '/api/bench/chain')).body).toMatchObject({ intact: true });
  });

  it('is refused before and after it is sent, with the reason', async () => {
    const other = await api.farm('Empty');
    const send = (bytes: Buffer) => other.call('POST', '/api/imports/farm?name=farm.jsonl', bytes, FILE_HEADERS);
    for (const bytes of [Buffer.from('photo'), Buffer.from([0x1f, 0x8b, 1, 2, 3]), gzipSync('{}')]) {
      const { body } = await send(bytes);
      expect(body).toMatchObject({ farm: null, problems: [{ code: 'not-a-farm' }] });
      expect((await other.call('POST', `/api/imports/farm/${body.import.id}/bring-in`)).status).toBe(422);
    }
    const cut = await send(Buffer.from(lines.slice(0, -3).join('\n')));
    await other.call('POST', `/api/imports/farm/${cut.body.import.id}/bring-in`);
    expect(await other.bringIn(cut.body.import.id)).toBe('failed');
    const { body } = await other.call('GET', `/api/imports/farm/${cut.body.import.id}`);
    expect(body).toMatchObject({ empty: true, import: { state: 'failed' } });
    expect(body.import.result).toContain('cut short');
    const filled = await farm.call(
      'POST',
      '/api/imports/farm?name=f.jsonl',
      Buffer.from(lines.join('\n')),
      FILE_HEADERS,
    );
    expect((await farm.call('POST', `/api/imports/farm/${filled.body.import.id}/bring-in`)).status).toBe(409);
  });
});
