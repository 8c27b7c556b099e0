import { randomUUID } from 'node:crypto';
import type { World } from '../api-app.js';
import { aRoom, aStrain } from './farm.js';
import type { Recipes } from './recipe.js';

/** A jar that came in through the bench log. */
export async function aJar(world: World): Promise<string> {
  const strain = await aStrain(world);
  const size = await world.call('POST', '/api/farm/sizes', { name: randomUUID(), volumeMl: 500 });
  const jarId = randomUUID();
  const payload = {
    ...{ lotId: randomUUID(), strainId: strain.id, sizeId: size.body.id, generation: 1 },
    ...{ container: 'jar', carrier: 'grain', jars: [{ id: jarId }] },
  };
  const happenedAt = new Date().toISOString();
  const entry = { id: randomUUID(), sequence: 1, happenedAt, kind: 'received', payload };
  const batch = { deviceId: randomUUID(), sentAt: happenedAt, entries: [entry] };
  const { body, text } = await world.call('POST', '/api/bench/entries', batch);
  if (body.answers?.[0]?.outcome !== 'applied') throw new Error(`The jar was not received: ${text}`);
  return jarId;
}

export const recipes: Recipes = {
  'GET /api/stock': () => ({}),
  'GET /api/stock/jars': async (world) => ({
    query: { strainId: (await aStrain(world)).id, roomId: (await aRoom(world)).id },
  }),
  'GET /api/stock/jars/{jarId}': async (world) => ({ params: { jarId: await aJar(world) } }),
  'GET /api/stock/rooms': () => ({}),
  'GET /api/stock/ageing': () => ({ query: { days: '30' } }),
};
