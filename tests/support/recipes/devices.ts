import { cookieOf, type World } from '../api-app.js';
import type { Recipes } from './recipe.js';

const PIN = '493017';

const offered = async (world: World): Promise<string> =>
  (await world.call('POST', '/api/devices/enrolments', { name: `Tablet ${world.canary}` })).body.code;

/** An enrolled tablet of the farm, as the cookie header it sends. */
export async function tabletOf(world: World): Promise<{ readonly deviceId: string; readonly cookie: string }> {
  const enrolled = await world.call('POST', '/api/device', { code: await offered(world) });
  return { deviceId: enrolled.body.deviceId, cookie: cookieOf(enrolled) };
}

const revisionOf = async (world: World, id: string): Promise<number> => {
  const { items } = (await world.call('GET', '/api/devices')).body;
  return items.find(({ deviceId }: { deviceId: string }) => deviceId === id).revision;
};

export const recipes: Recipes = {
  'GET /api/devices': () => ({}),
  'POST /api/devices/enrolments': () => ({ body: { name: 'Bench tablet' }, volatile: ['code', 'expiresAt'] }),
  'PUT /api/devices/{deviceId}': async (world) => {
    const { deviceId } = await tabletOf(world);
    const headers = { 'if-match': `"${await revisionOf(world, deviceId)}"` };
    return { params: { deviceId }, headers, body: { name: 'Cold room' } };
  },
  'DELETE /api/devices/{deviceId}': async (world) => ({ params: { deviceId: (await tabletOf(world)).deviceId } }),
  'POST /api/device': async (world) => ({ body: { code: await offered(world) } }),
  'GET /api/device': async (world) => ({ headers: { cookie: (await tabletOf(world)).cookie } }),
  'POST /api/device/session': async (world) => {
    const { staffId } = (await world.call('POST', '/api/staff', { name: 'Hand', role: 'hand', pin: PIN })).body;
    return { headers: { cookie: (await tabletOf(world)).cookie }, body: { staffId, pin: PIN } };
  },
};
