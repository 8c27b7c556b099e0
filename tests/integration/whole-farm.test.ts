/** A whole farm out of one grower and into another. */
import { FARM_TABLES, farmLines, NOT_EXPORTED, WholeFarmService } from '@jarfold/server';
import { systemClock } from '@jarfold/server/platform';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { defaultLimits } from '../../libs/workbook/src/package/limits.js';
import { readCells } from '../../libs/workbook/src/package/read-cells.js';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { plantFarm } from '../support/planted-farm.js';

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
    const brought = await service().bringIn(contextOf(other), lines, (done) => seen.push(done));
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

  it('leaves no table of a farm out without a reason', async () => {
    const tables = await api.database.sql<{ table_name: string }>(
      `SELECT table_name FROM information_schema.columns JOIN information_schema.tables USING (table_schema, table_name)
        WHERE table_schema = 'public' AND column_name = 'grower_id' AND table_type = 'BASE TABLE'`,
    );
    const known = [...FARM_TABLES, ...Object.keys(NOT_EXPORTED)];
    expect(tables.map(({ table_name: name }) => name).filter((name) => !known.includes(name))).toEqual([]);
  });

  it('is given to its owner only, in three forms', async () => {
    expect((await farm.call('GET', '/api/exports/farm')).text.split('\n')).toHaveLength(lines.length + 1);
    const { bytes } = await farm.call('GET', '/api/exports/farm?form=xlsx');
    const { sheets } = await readCells(bytes, { ...defaultLimits, sheets: 200 });
    expect(sheets.map(({ name }) => name)).toContain('bench_entry');
    expect((await farm.call('GET', '/api/exports/farm?form=csv')).bytes.subarray(0, 2).toString()).toBe('PK');
    expect((await (await farm.colleague('lead')).call('GET', '/api/exports/farm')).status).toBe(403);
  });
});
