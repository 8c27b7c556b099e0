import type { World } from '../api-app.js';
import type { Recipes } from './recipe.js';

export const FILE_HEADERS = { 'content-type': 'application/octet-stream' } as const;

async function aWorkbook(world: World): Promise<string> {
  const answer = await world.call('POST', '/api/workbooks');
  if (answer.status !== 201) throw new Error(`POST /api/workbooks: ${answer.text}`);
  await world.make(answer.body.id);
  return answer.body.id;
}

/** The whole farm as lines of JSON, ready to be given out. */
async function aFarmExport(world: World): Promise<string> {
  const { body } = await world.call('POST', '/api/exports/farm', { form: 'jsonl' });
  await world.make(body.id);
  return body.id;
}

/** A whole farm that was sent in: its head is enough to be looked at. */
async function aFarmFile(world: World): Promise<string> {
  const { body } = await world.call('POST', '/api/imports/farm?name=farm.jsonl', farmFile(), FILE_HEADERS);
  return body.import.id;
}

const farmFile = () =>
  Buffer.from(
    `${JSON.stringify({
      format: 'jarfold-farm/1',
      madeAt: '2026-11-25T09:00:00.000Z',
      farm: { name: 'Farm', timeZone: 'Europe/Vienna', locale: 'en' },
      stateHash: '0'.repeat(64),
      counts: {},
    })}\n`,
  );

const files = new WeakMap<World, Buffer>();

/** The farm's own workbook as a file; one serves many requests. */
async function aFile(world: World): Promise<Buffer> {
  const known = files.get(world);
  if (known) return known;
  const { bytes } = await world.call('GET', `/api/workbooks/${await aWorkbook(world)}/file`);
  files.set(world, bytes);
  return bytes;
}

/** A returned workbook that waits to be applied. */
export async function aReturn(world: World): Promise<{ readonly id: string; readonly seen: string }> {
  const answer = await world.call('POST', '/api/imports/workbook', await aFile(world), FILE_HEADERS);
  if (answer.status !== 201) throw new Error(`POST /api/imports/workbook: ${answer.text}`);
  return { id: answer.body.import.id, seen: answer.body.seen };
}

export const recipes: Recipes = {
  'GET /api/workbooks': () => ({}),
  'POST /api/workbooks': () => ({}),
  'GET /api/workbooks/{workbookId}/file': async (world) => ({ params: { workbookId: await aWorkbook(world) } }),
  'GET /api/workbooks/units': () => ({}),
  'PATCH /api/workbooks/units': async (world) => {
    const { revision } = (await world.call('GET', '/api/workbooks/units')).body;
    return { body: { massUnit: 'us', weekStartsOn: 7 }, headers: { 'if-match': `"${revision}"` } };
  },
  'GET /api/exports': () => ({}),
  'POST /api/exports/farm': () => ({ body: { form: 'csv' } }),
  'GET /api/exports/{exportId}/file': async (world) => ({ params: { exportId: await aFarmExport(world) } }),
  'POST /api/exports/{exportId}/cancel': async (world) => ({
    params: { exportId: (await world.call('POST', '/api/workbooks')).body.id },
  }),
  'POST /api/imports/farm': () => ({ query: { name: 'farm.jsonl' }, body: farmFile(), headers: FILE_HEADERS }),
  'GET /api/imports/farm/{importId}': async (world) => ({ params: { importId: await aFarmFile(world) } }),
  'GET /api/imports': () => ({}),
  'GET /api/imports/{importId}/marked-copy': async (world) => ({ params: { importId: (await aReturn(world)).id } }),
  'POST /api/imports/workbook': async (world) => ({
    query: { name: 'week.xlsx' },
    body: await aFile(world),
    headers: FILE_HEADERS,
  }),
  'GET /api/imports/workbook/{importId}': async (world) => ({ params: { importId: (await aReturn(world)).id } }),
  'POST /api/imports/workbook/{importId}/apply': async (world) => {
    const { id, seen } = await aReturn(world);
    return { params: { importId: id }, body: { seen, choices: { cells: { '*/name': 'theirs' } } } };
  },
  'POST /api/imports/{importId}/cancel': async (world) => ({ params: { importId: (await aReturn(world)).id } }),
};
