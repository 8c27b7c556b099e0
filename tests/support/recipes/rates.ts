import { aStrain } from './farm.js';
import type { Recipes } from './recipe.js';
import { aJar } from './stock.js';

export const recipes: Recipes = {
  'GET /api/rates/contamination': async (world) => ({ query: { strainId: (await aStrain(world)).id } }),
  'GET /api/rates/growth': async (world) => ({ query: { strainId: (await aStrain(world)).id } }),
  'GET /api/rates/ageing': async (world) => ({ query: { strainId: (await aStrain(world)).id } }),
  'GET /api/rates/yield': async (world) => ({ query: { strainId: (await aStrain(world)).id } }),
  'GET /api/rates/planning': () => ({}),
  'GET /api/recall': async (world) => ({ query: { jarId: await aJar(world) } }),
  'GET /api/recall/workbook': async (world) => ({ query: { jarId: await aJar(world) } }),
  'GET /api/watch': () => ({}),
  'GET /api/watch/settled': () => ({ query: { days: '14' } }),
};
