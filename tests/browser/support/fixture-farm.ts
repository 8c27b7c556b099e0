import { randomUUID } from 'node:crypto';
import { createGrower } from '@jarfold/server';
import { dayFromToday, OWNER } from './people.js';
import type { ServedFarm } from './served-farm.js';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;

/** What the tests look for on the screens of the fixture farm. */
export interface FixtureFarm {
  readonly cookie: string;
  /** Jars of the lot that is incubating, by id. */
  readonly incubating: readonly string[];
  call(method: string, path: string, body?: unknown, revision?: number): Promise<unknown>;
}

/**
 * A small invented farm in all states a screen draws, made through the public API alone: ripe, chilled, opened,
 * incubating and contaminated jars, a mother kept back, a second strain, a cold store, a run that cannot be covered.
 */
export async function makeFixtureFarm(served: ServedFarm): Promise<FixtureFarm> {
  await createGrower(served.database.platformDb, {
    farmName: OWNER.farm,
    timeZone: 'Europe/Vienna',
    ownerName: 'Mara',
    email: OWNER.email,
    password: OWNER.password,
  });
  const cookie = await signInByApi(served.address);
  const call = (method: string, path: string, body?: unknown, revision?: number) =>
    send(served.address, cookie, method, path, body, revision);
  const started = (await call('POST', '/api/farm/first-start', {
    strain: { speciesKey: 'pleurotus-ostreatus', name: 'Grey oyster' },
    ripeJars: 14,
    run: { day: dayFromToday(34), substrateWetKg: 140 },
  })) as { strainId: string; sizeId: string; shelfId: string };
  const incubating = await fillShelves(call, started);
  await addRuns(call, started.strainId);
  await call('POST', '/api/plan'); // with everything above in it
  return { cookie, incubating, call };
}

type Send = FixtureFarm['call'];

async function fillShelves(
  call: Send,
  { strainId, sizeId, shelfId }: { strainId: string; sizeId: string; shelfId: string },
) {
  const mane = await makeThing(call, 'strains', { speciesKey: 'hericium-erinaceus', name: 'Shaggy mane' });
  const cold = await makeThing(call, 'rooms', { name: 'Cold store', kind: 'cold', temperatureC: 3 });
  const coldShelf = await makeThing(call, 'shelves', { roomId: cold, name: 'Cold 1', rows: 2, placesPerRow: 10 });
  const { items } = (await call('GET', '/api/stock/jars?sort=code')) as { items: { id: string }[] };
  const ripe = items.map(({ id }) => id);
  const lot = Array.from({ length: 12 }, () => randomUUID());
  const lotPlaces = lot.map((id, at) => ({ id, place: { shelfId, row: 3, place: (at % 10) + 1 } }));
  const maneJars = Array.from({ length: 4 }, (_, at) => ({
    id: randomUUID(),
    place: { shelfId, row: 2, place: at + 7 },
  }));
  await log(call, [
    [
      8,
      'inoculated',
      {
        lotId: randomUUID(),
        strainId,
        sizeId,
        mothers: [{ jarId: ripe[0], amount: { by: 'half' } }],
        jars: lotPlaces.slice(0, 10),
      },
    ],
    [
      7,
      'received',
      {
        lotId: randomUUID(),
        strainId: mane,
        sizeId,
        generation: 1,
        container: 'jar',
        carrier: 'grain',
        jars: maneJars,
      },
    ],
    [3, 'checked', { jars: lot.slice(0, 8).map((jarId, at) => ({ jarId, colonisedShare: 0.2 + at * 0.08 })) }],
    [2, 'contamination_found', { jarIds: [lot[8]], finding: 'green_mould', sure: true }],
    [1, 'chilled', { jarIds: ripe.slice(4, 9), place: { shelfId: coldShelf } }],
    [0.1, 'mother_kept', { jarIds: [ripe[1]] }],
  ]);
  return lot.slice(0, 10);
}

async function makeThing(call: Send, kind: string, body: unknown): Promise<string> {
  return ((await call('POST', `/api/farm/${kind}`, body)) as { id: string }).id;
}

type Logged = readonly [daysAgo: number, kind: string, payload: unknown];

async function log(call: Send, entries: readonly Logged[]): Promise<void> {
  const now = Date.now();
  const batch = {
    deviceId: randomUUID(),
    sentAt: new Date(now).toISOString(),
    entries: entries.map(([daysAgo, kind, payload], at) => ({
      id: randomUUID(),
      sequence: at + 1,
      happenedAt: new Date(now - daysAgo * DAY_MS).toISOString(),
      kind,
      payload,
    })),
  };
  const { answers } = (await call('POST', '/api/bench/entries', batch)) as { answers: { outcome: string }[] };
  const refused = answers.filter(({ outcome }) => outcome !== 'applied');
  if (refused.length > 0) throw new Error(`Entries were refused: ${JSON.stringify(refused)}`);
}

async function addRuns(call: Send, strainId: string): Promise<void> {
  for (const [name, days, substrateWetKg] of [
    ['Straw house', 5, 60],
    ['Barn', 9, 700],
  ] as const) {
    await call('POST', '/api/runs', { name, day: dayFromToday(days), substrateWetKg, strainIds: [strainId] });
  }
}

async function signInByApi(address: string): Promise<string> {
  const response = await fetch(`${address}/api/session`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ email: OWNER.email, password: OWNER.password }),
  });
  if (!response.ok) throw new Error(`Signing in failed: ${await response.text()}`);
  return response.headers.getSetCookie()[0]?.split(';')[0] ?? '';
}

async function send(address: string, cookie: string, method: string, path: string, body?: unknown, revision?: number) {
  const response = await fetch(`${address}${path}`, {
    method,
    headers: {
      cookie,
      ...(body === undefined ? {} : { 'content-type': 'application/json' }),
      ...(revision === undefined ? {} : { 'if-match': `"${revision}"` }),
    },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  if (!response.ok) throw new Error(`${method} ${path}: ${response.status} ${await response.text()}`);
  return response.status === 204 ? undefined : response.json();
}
