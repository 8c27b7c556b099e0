import { randomBytes } from 'node:crypto';
import type { World } from '../api-app.js';
import type { Recipes } from './recipe.js';

const word = () => randomBytes(4).toString('hex');

async function made(
  world: World,
  url: string,
  body: object,
): Promise<{ readonly id: string; readonly revision: number }> {
  const answer = await world.call('POST', url, body);
  if (answer.status !== 201) throw new Error(`POST ${url}: ${answer.text}`);
  return answer.body;
}

export const aRoom = (world: World) =>
  made(world, '/api/farm/rooms', { name: `Room ${word()} ${world.canary}`, kind: 'incubation' });
export const aStrain = (world: World) =>
  made(world, '/api/farm/strains', { speciesKey: 'pleurotus-ostreatus', name: `Oyster ${word()} ${world.canary}` });
export const aSize = (world: World) =>
  made(world, '/api/farm/sizes', { name: `Jar ${word()} ${world.canary}`, volumeMl: 1000 });
const aShelf = async (world: World) =>
  made(world, '/api/farm/shelves', { roomId: (await aRoom(world)).id, name: word(), rows: 2, placesPerRow: 5 });

export const ifMatch = ({ revision }: { readonly revision: number }) => ({ 'if-match': `"${revision}"` });

export const recipes: Recipes = {
  // First of all: a farm is started once, and only while it has no strain.
  'POST /api/farm/first-start': () => ({
    body: {
      strain: { speciesKey: 'pleurotus-ostreatus' },
      ripeJars: 3,
      run: { day: '2099-01-05', substrateWetKg: 20 },
    },
  }),
  'GET /api/farm': () => ({}),
  'GET /api/farm/species': () => ({}),
  'PATCH /api/farm/settings': async (world) => ({
    body: { horizonDays: 90 },
    headers: ifMatch((await world.call('GET', '/api/farm')).body.settings),
  }),
  'POST /api/farm/rooms': () => ({ body: { name: `Room ${word()}`, kind: 'cold', temperatureC: 3 } }),
  'PATCH /api/farm/rooms/{roomId}': async (world) => {
    const room = await aRoom(world);
    return { params: { roomId: room.id }, body: { temperatureC: 24 }, headers: ifMatch(room) };
  },
  'POST /api/farm/shelves': async (world) => ({
    body: { roomId: (await aRoom(world)).id, name: word(), rows: 3, placesPerRow: 8 },
  }),
  'PATCH /api/farm/shelves/{shelfId}': async (world) => {
    const shelf = await aShelf(world);
    return {
      params: { shelfId: shelf.id },
      body: { roomId: (await aRoom(world)).id, rows: 4 },
      headers: ifMatch(shelf),
    };
  },
  'POST /api/farm/strains': () => ({ body: { speciesKey: 'hericium-erinaceus', name: `Mane ${word()}` } }),
  'PATCH /api/farm/strains/{strainId}': async (world) => {
    const strain = await aStrain(world);
    return { params: { strainId: strain.id }, body: { daysToRipe: 16 }, headers: ifMatch(strain) };
  },
  'POST /api/farm/sizes': () => ({ body: { name: `Bag ${word()}`, volumeMl: 3000 } }),
  'PATCH /api/farm/sizes/{sizeId}': async (world) => {
    const size = await aSize(world);
    return { params: { sizeId: size.id }, body: { ripeGrams: 610, cleanEmpty: 12 }, headers: ifMatch(size) };
  },
};
