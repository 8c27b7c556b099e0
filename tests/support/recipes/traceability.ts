import type { Recipes } from './recipe.js';
import { aJar } from './stock.js';

export const recipes: Recipes = {
  'GET /api/traceability/lots': async (world) => {
    await aJar(world);
    return { query: { from: '2020-01-01', to: '2099-12-31' } };
  },
  'GET /api/traceability/epcis': () => ({
    query: { from: '2020-01-01', to: '2099-12-31' },
    volatile: ['creationDate'],
  }),
};
