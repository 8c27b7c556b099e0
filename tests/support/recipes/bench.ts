import { randomInt, randomUUID } from 'node:crypto';
import { STARTING_LABEL_LAYOUT } from '@jarfold/contracts';
import type { World } from '../api-app.js';
import type { Recipes } from './recipe.js';

/** Start, one frame header of 8 by 8 pixels, end (ITU-T T.81, annex B). */
const SMALLEST_JPEG = Buffer.from([
  ...[0xff, 0xd8, 0xff, 0xc0, 0, 11, 8, 0, 8, 0, 8, 1, 1, 0x11, 0, 0xff, 0xd9],
]).toString('base64');

async function logged(world: World, kind: string, payload: object): Promise<string> {
  const id = randomUUID();
  const at = new Date().toISOString();
  const entries = [{ id, sequence: 1, happenedAt: at, kind, payload }];
  await world.call('POST', '/api/bench/entries', { deviceId: randomUUID(), sentAt: at, entries });
  return id;
}

/** A ripe jar of a new strain. */
async function receivedBy(world: World): Promise<string> {
  const jarId = randomUUID();
  const strain = { code: `L${randomInt(10, 99)}X`, name: world.canary, speciesKey: 'pleurotus-ostreatus' };
  const strainId = (await world.call('POST', '/api/farm/strains', strain)).body.id;
  const size = { name: `Size ${randomInt(1_000_000)}`, volumeMl: 1000 };
  const sizeId = (await world.call('POST', '/api/farm/sizes', size)).body.id;
  const lot = { lotId: randomUUID(), strainId, sizeId, generation: 1, container: 'jar', carrier: 'grain' };
  await logged(world, 'received', { ...lot, jars: [{ id: jarId }] });
  return jarId;
}

const notedBy = (world: World) => logged(world, 'noted', { text: 'looks odd' });
/** Refused, because no such jar is known. */
const refusedBy = (world: World) => logged(world, 'shaken', { jarIds: [randomUUID()] });

/**
 * What entries refer to is tried kind by kind in bench-api.test.ts: a refused entry is stored, so the same request
 * cannot be sent twice with two different ids in it.
 */
export const recipes: Recipes = {
  'POST /api/bench/entries': () => ({
    body: {
      deviceId: randomUUID(),
      sentAt: new Date().toISOString(),
      entries: [
        {
          id: randomUUID(),
          sequence: 1,
          happenedAt: new Date().toISOString(),
          kind: 'noted',
          payload: { text: 'swept the bench' },
        },
      ],
    },
    ownIds: ['/body/deviceId', '/body/entries/0/id'],
  }),
  'GET /api/bench/entries': () => ({ query: { after: '0', limit: '10' } }),
  'GET /api/bench/chain': () => ({}),
  'GET /api/bench/snapshot': () => ({ volatile: ['takenAt'] }),
  'GET /api/bench/facts': () => ({ volatile: ['takenAt'] }),
  'GET /api/bench/changes': () => ({ query: { after: '0' } }),
  'GET /api/bench/jobs': () => ({}),
  'GET /api/bench/refused': () => ({}),
  'GET /api/bench/refused/settled': () => ({}),
  'POST /api/bench/refused/{entryId}/settle': async (world) => ({
    params: { entryId: await refusedBy(world) },
    body: { way: 'drop' },
    volatile: ['position'],
  }),
  'POST /api/bench/refused/{entryId}/unsettle': async (world) => {
    const entryId = await refusedBy(world);
    await world.call('POST', `/api/bench/refused/${entryId}/settle`, { way: 'drop' });
    return { params: { entryId }, volatile: ['position'] };
  },
  'GET /api/labels': async (world) => {
    const [jar] = (await world.call('GET', '/api/stock/jars?limit=1')).body.items;
    return { query: { jarIds: jar?.id ?? (await receivedBy(world)) } };
  },
  'GET /api/labels/layout': () => ({}),
  'PUT /api/labels/layout': () => ({ body: { ...STARTING_LABEL_LAYOUT, marginLeftMm: 11 } }),
  'GET /api/bench/photos': () => ({}),
  'PUT /api/bench/photos/{photoId}': async (world) => ({
    params: { photoId: randomUUID() },
    body: { entryId: await notedBy(world), jpegBase64: SMALLEST_JPEG },
    ownIds: ['/params/photoId'],
    volatile: ['recordedAt'],
  }),
  'GET /api/bench/photos/{photoId}': async (world) => {
    const photoId = randomUUID();
    const photo = { entryId: await notedBy(world), jpegBase64: SMALLEST_JPEG };
    await world.call('PUT', `/api/bench/photos/${photoId}`, photo);
    return { params: { photoId } };
  },
};
