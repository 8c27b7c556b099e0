import { randomInt } from 'node:crypto';
import type { World } from '../api-app.js';
import type { BuiltRequest, Recipes } from './recipe.js';

const somebody = async (world: World) =>
  (await world.call('POST', '/api/staff', { name: `Hand ${world.canary}`, role: 'hand' })).body;

/** A fresh member with the revision in If-Match. */
const revised = async (world: World, body?: unknown): Promise<BuiltRequest> => {
  const { staffId, revision } = await somebody(world);
  return {
    params: { staffId },
    headers: { 'if-match': `"${revision}"` },
    ...(body === undefined ? {} : { body }),
    volatile: ['setAt', 'pinSetAt'],
  };
};

const pin = () => `49${randomInt(10)}7${randomInt(10)}2`;

export const recipes: Recipes = {
  'GET /api/staff': () => ({}),
  'POST /api/staff': () => ({ body: { name: 'New hand', role: 'hand', pin: pin() } }),
  'PUT /api/staff/{staffId}': (world) => revised(world, { name: 'Other name', role: 'lead' }),
  'PUT /api/staff/{staffId}/bench-time': (world) =>
    revised(world, {
      benchMinutes: 90,
      away: [{ firstDay: '2026-12-23', lastDay: '2027-01-03', note: `Holidays ${world.canary}` }],
    }),
  'PUT /api/staff/{staffId}/pin': async (world) => ({
    params: { staffId: (await somebody(world)).staffId },
    body: { pin: pin() },
  }),
  'DELETE /api/staff/{staffId}/pin': async (world) => ({ params: { staffId: (await somebody(world)).staffId } }),
  'POST /api/staff/{staffId}/leave': (world) => revised(world, { forgetName: true }),
  'POST /api/staff/{staffId}/return': (world) => revised(world),
};
