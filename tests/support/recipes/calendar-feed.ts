import type { World } from '../api-app.js';
import type { Recipes } from './recipe.js';

const aFeed = async (world: World) =>
  (await world.call('POST', '/api/calendar-feeds', { name: 'Phone', of: 'farm' })).body;

export const recipes: Recipes = {
  'GET /api/calendar-feeds': () => ({}),
  'POST /api/calendar-feeds': () => ({ body: { name: 'Phone', of: 'person' } }),
  'POST /api/calendar-feeds/{feedId}/revoke': async (world) => ({ params: { feedId: (await aFeed(world)).feed.id } }),
  'GET /api/calendar/{growerId}/{secret}': async (world) => ({
    params: { growerId: world.growerId, secret: (await aFeed(world)).path.split('/').at(-1) ?? '' },
  }),
};
