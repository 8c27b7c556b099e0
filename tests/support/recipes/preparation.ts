import { randomUUID } from 'node:crypto';
import type { Recipes } from './recipe.js';

export const recipes: Recipes = {
  'GET /api/preparation/grain': () => ({ volatile: ['countedAt'] }),
  'POST /api/preparation/grain': () => ({
    body: { id: randomUUID(), grain: 'rye', kind: 'counted', massG: 25_000 },
    ownIds: ['/body/id'],
    volatile: ['countedAt'],
  }),
};
