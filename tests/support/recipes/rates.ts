import type { World } from '../api-app.js';
import { aStrain } from './farm.js';
import type { Recipes } from './recipe.js';
import { aJar } from './stock.js';

/** A flag that stands: a new strain has none of the mothers it should keep back. */
async function aFlag(world: World): Promise<string> {
  await aStrain(world);
  await world.look();
  const { items } = (await world.call('GET', '/api/watch')).body;
  if (items.length === 0) throw new Error('The watch raised no flag for a strain without mothers.');
  return items[0].id;
}

/** A promise is for a day within reach of today, whichever that is. */
const inDays = (days: number): string => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);

export const recipes: Recipes = {
  'GET /api/rates/contamination': async (world) => ({ query: { strainId: (await aStrain(world)).id } }),
  'GET /api/rates/growth': async (world) => ({ query: { strainId: (await aStrain(world)).id } }),
  'GET /api/rates/ageing': async (world) => ({ query: { strainId: (await aStrain(world)).id } }),
  'GET /api/rates/yield': async (world) => ({ query: { strainId: (await aStrain(world)).id } }),
  'GET /api/rates/planning': () => ({}),
  'GET /api/ahead': () => ({ query: { weeks: '8' } }),
  'GET /api/ahead/promise': async (world) => ({
    query: { strainId: (await aStrain(world)).id, kilograms: '40', day: inDays(60), weeks: '2' },
  }),
  'GET /api/recall': async (world) => ({ query: { jarId: await aJar(world) } }),
  'GET /api/recall/workbook': async (world) => ({ query: { jarId: await aJar(world) } }),
  'GET /api/watch': () => ({}),
  'PUT /api/watch/{flagId}/seen': async (world) => ({
    params: { flagId: await aFlag(world) },
    body: { seen: true },
    volatile: ['seen'],
  }),
  'GET /api/watch/settled': () => ({ query: { days: '14' } }),
};
