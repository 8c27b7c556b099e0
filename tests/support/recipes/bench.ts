import { randomUUID } from 'node:crypto';
import type { Recipes } from './recipe.js';

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
};
