import { randomUUID } from 'node:crypto';
import type { World } from '../api-app.js';
import type { Recipes } from './recipe.js';

/** A steriliser cycle as a tablet would log it, held for an hour. */
export async function aCycle(world: World): Promise<string> {
  const { id: sizeId } = (await world.call('POST', '/api/farm/sizes', { name: `Size ${randomUUID()}`, volumeMl: 1000 }))
    .body;
  const cycleId = randomUUID();
  const kinds: readonly (readonly [string, object])[] = [
    ['cycle_started', { cycleId, method: 'pressure', loads: [{ sizeId, count: 8 }] }],
    ['cycle_held', { cycleId, gaugePressureKpa: 103.4 }],
    ['cycle_ended', { cycleId, holdMin: 60, gaugePressureKpa: 103.4 }],
  ];
  const now = Date.now();
  const entries = kinds.map(([kind, payload], i) => ({
    ...{ id: randomUUID(), sequence: i + 1, kind, payload },
    happenedAt: new Date(now - (9 - i) * 600_000).toISOString(),
  }));
  const batch = { deviceId: randomUUID(), sentAt: new Date(now).toISOString(), entries };
  const answer = await world.call('POST', '/api/bench/entries', batch);
  if (answer.body?.answers?.some(({ outcome }: { outcome: string }) => outcome !== 'applied'))
    throw new Error(answer.text);
  return cycleId;
}

export const recipes: Recipes = {
  'GET /api/sterilising/cycles': async (world) => ({ query: { beforeId: await aCycle(world) } }),
  'GET /api/sterilising/cycle': async (world) => ({ query: { cycleId: await aCycle(world) } }),
  'POST /api/sterilising/traces': async (world) => ({
    body: {
      ...{ kind: 'file', id: randomUUID(), cycleId: await aCycle(world), fileName: 'logger.csv', unit: null },
      text: 'minute;°C\n0;20\n30;121.3\n95;121.4\n120;60',
    },
    ownIds: ['/body/id'],
  }),
};
