/** An old spreadsheet and the worker that brings it in: a process of its own, which may be killed on the way. */
import { gzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { FILE_HEADERS } from '../support/recipes/workbooks.js';
import { until } from '../support/until.js';
import { startWorker, type WorkerProcess } from '../support/worker-process.js';

jest.setTimeout(180_000);

const LOTS = 20;
const JARS_PER_LOT = 150;

let api: TestApi;
let farm: World;
const workers: WorkerProcess[] = [];

beforeAll(async () => {
  api = await startApi();
  farm = await api.farm('Farm');
});
afterAll(async () => {
  for (const worker of workers) await worker.killHard();
  await api.close();
});

const start = async () => {
  const worker = await startWorker({ env: api.database.env });
  workers.push(worker);
  return worker;
};

/** A list of many lots that nobody has to be asked about any more. */
async function aLongList(): Promise<{ readonly id: string; readonly seen: string }> {
  const rows = Array.from({ length: LOTS }, (_, at) => `K${at + 1},${JARS_PER_LOT},Oyster,1,litre,ripe,2026-05-01`);
  const list = Buffer.from(`lot,jars,strain,gen,size,state,made on\n${rows.join('\n')}\n`);
  const { body } = await farm.call('POST', '/api/imports/old-sheets?name=long.csv', list, FILE_HEADERS);
  const table = body.mapping['1.1'];
  const words = {
    ...table.words,
    strain: { oyster: { to: 'new-strain', code: 'OY1', name: 'Oyster', speciesKey: 'pleurotus-ostreatus' } },
    size: { litre: { to: 'new-size', name: 'Litre jar', volumeMl: 1000, container: 'jar', carrier: 'grain' } },
  };
  const path = `/api/imports/old-sheets/${body.import.id}/mapping`;
  const told = await farm.call('PUT', path, { tables: { '1.1': { ...table, words } } });
  expect(told.body).toMatchObject({ questions: [], counts: { lots: LOTS, jars: LOTS * JARS_PER_LOT } });
  return { id: told.body.import.id, seen: told.body.seen };
}

const stateOf = async (id: string): Promise<string> =>
  (await farm.call('GET', `/api/imports/old-sheets/${id}`)).body.import.state;
const storedState = async (id: string): Promise<string> =>
  (await api.database.sql<{ state: string }>(`SELECT state FROM file_import WHERE id = '${id}'`))[0]?.state ?? '';
const jarsStored = async (): Promise<number> =>
  Number((await api.database.sql<{ n: string }>('SELECT count(*) AS n FROM jar'))[0]?.n);

describe('a worker that is killed while it brings a file in', () => {
  it('leaves nothing behind, and the next worker brings all of it', async () => {
    const { id, seen } = await aLongList();
    await farm.call('POST', `/api/imports/old-sheets/${id}/bring-in`, { seen, withoutRefused: false });
    const first = await start();
    await until('the file to be under way', async () => (await storedState(id)) === 'running');
    await first.killHard();
    expect([await storedState(id), await jarsStored()]).toEqual(['running', 0]);
    await start();
    await until('the file to be in the farm', async () => (await stateOf(id)) === 'applied');
    expect(await jarsStored()).toBe(LOTS * JARS_PER_LOT);
    expect((await farm.call('GET', '/api/bench/chain')).body).toMatchObject({ intact: true, checked: LOTS + 1 });
  });

  it('leaves nothing of a whole farm behind either, and the next worker brings all of it', async () => {
    const asked = await farm.call('POST', '/api/exports/farm', { form: 'jsonl' });
    const isReady = async () => (await farm.call('GET', '/api/exports')).body.items[0].state === 'ready';
    await until('the farm to be written', isReady);
    const { bytes } = await farm.call('GET', `/api/exports/${asked.body.id}/file`);
    for (const worker of workers) await worker.killHard();
    const other = await api.farm('Other');
    const { body } = await other.call('POST', '/api/imports/farm?name=farm.jsonl', gzipSync(bytes), FILE_HEADERS);
    const { id } = body.import;
    await other.call('POST', `/api/imports/farm/${id}/bring-in`);
    const first = await start();
    await until('the farm to be under way', async () => (await storedState(id)) === 'running');
    await first.killHard();
    const jarsOfOther = async () => (await other.call('GET', '/api/stock/jars?limit=1')).body.items.length;
    expect([await storedState(id), await jarsOfOther()]).toEqual(['running', 0]);
    await start();
    await until('the farm to be in', async () => (await storedState(id)) === 'applied');
    const after = (await other.call('GET', `/api/imports/farm/${id}`)).body;
    expect(after.import.result).toContain(after.farm.stateHash);
    expect((await other.call('GET', '/api/bench/chain')).body).toMatchObject({ intact: true, checked: LOTS + 1 });
  });
});
