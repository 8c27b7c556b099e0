import { randomBytes } from 'node:crypto';
import type { Recipes } from './recipe.js';

const newFarm = () => ({
  farmName: 'Another farm',
  timeZone: 'Europe/Vienna',
  email: `new-${randomBytes(6).toString('hex')}@example.org`,
  password: 'kettle lantern moss',
});

/** Making farms is tried with a token of its own in the identity tests; here the server is an open one. */
export const recipes: Recipes = {
  'GET /healthz': () => ({}),
  'GET /readyz': () => ({}),
  'GET /problems': () => ({}),
  'GET /problems/{code}': () => ({ params: { code: 'conflict' } }),
  'GET /api/openapi.json': () => ({}),
  'GET /api/trust': () => ({}),
  'GET /api/set-up': () => ({}),
  'POST /api/growers': () => ({ body: newFarm() }),
  // Signing in ends the session whose cookie came along, so it is done from one that can be spared.
  'POST /api/session': async (world) => ({
    as: await world.signInAgain(),
    body: { email: world.email, password: world.password },
  }),
  'GET /api/session': () => ({}),
  'DELETE /api/session': async (world) => ({ as: await world.signInAgain() }),
  'GET /api/sessions': () => ({}),
  'DELETE /api/sessions/{sessionId}': async (world) => {
    const other = await world.signInAgain();
    const { items } = (await other.call('GET', '/api/sessions')).body;
    const { sessionId } = items.find(({ current }: { current: boolean }) => current);
    return { params: { sessionId } };
  },
  'PUT /api/password': async (world) => {
    const colleague = await world.colleague('lead');
    return { as: colleague, body: { currentPassword: colleague.password, newPassword: 'kettle lantern moss' } };
  },
};
