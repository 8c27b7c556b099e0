import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';

/** A jar as the answers show it, as far as the tests look at it. */
interface SeenJar {
  readonly id: string;
  readonly code: string;
}

let api: TestApi;
let farm: World;
let neighbour: World;
let now = new Date('2026-11-25T09:00:00Z');

const device = randomUUID();
let sequence = 0;

/** Records entries at the bench; every one must be applied. */
async function record(world: World, ...actions: readonly { kind: string; payload: object }[]): Promise<void> {
  const entries = actions.map((action) => {
    sequence += 1;
    return { id: randomUUID(), sequence, happenedAt: now.toISOString(), ...action };
  });
  const { body, text } = await world.call('POST', '/api/bench/entries', {
    deviceId: device,
    sentAt: now.toISOString(),
    entries,
  });
  const refused = body.answers?.filter(({ outcome }: { outcome: string }) => outcome !== 'applied') ?? [text];
  if (refused.length > 0) throw new Error(JSON.stringify(refused));
}

const made = async (world: World, list: string, body: object) =>
  (await world.call('POST', `/api/farm/${list}`, body)).body.id as string;
const get = async (world: World, url: string) => (await world.call('GET', url)).body;

let strainId: string;
let sizeId: string;
let shelfId: string;
let roomId: string;
const mothers = [randomUUID(), randomUUID()] as const;
const daughters = Array.from({ length: 5 }, () => randomUUID());

beforeAll(async () => {
  api = await startApi({ clock: () => now });
  farm = await api.farm('Farm');
  neighbour = await api.farm('Neighbour');
  strainId = await made(farm, 'strains', { speciesKey: 'pleurotus-ostreatus' });
  sizeId = await made(farm, 'sizes', { volumeMl: 1000, ripeGrams: 600 });
  roomId = await made(farm, 'rooms', { name: 'Warm', kind: 'incubation' });
  shelfId = await made(farm, 'shelves', { roomId, name: 'Left', rows: 2, placesPerRow: 4 });
  const received = {
    ...{ lotId: randomUUID(), strainId, sizeId, generation: 1, container: 'jar', carrier: 'grain' },
    madeOn: '2026-11-01',
    jars: [
      { id: mothers[0], ripeOn: '2026-11-15', place: { shelfId, row: 1, place: 2 } },
      { id: mothers[1], ripeOn: '2026-11-12' },
    ],
  };
  await record(farm, { kind: 'received', payload: received });
  const inoculated = {
    ...{ lotId: randomUUID(), strainId, sizeId },
    mothers: [{ jarId: mothers[0], amount: { by: 'grams', massG: 300 } }],
    jars: daughters.map((id, index) => ({ id, place: { shelfId, row: 2, place: Math.min(4, index + 1) } })),
  };
  await record(farm, { kind: 'inoculated', payload: inoculated });
});
afterAll(() => api.close());

describe('the stock on hand', () => {
  it('is counted and weighed by strain, generation, state and age', async () => {
    const { asOf, rows, totals } = await get(farm, '/api/stock');
    expect(asOf).toBe('2026-11-25');
    expect(rows.map((row: Record<string, unknown>) => [row.generation, row.state, row.count, row.grams])).toEqual([
      [1, 'ripe', 1, 600],
      [1, 'opened', 1, 300],
      [2, 'incubating', 5, 3000],
    ]);
    expect(rows[0]).toMatchObject({ strainCode: 'OY1', ages: [{ fromWeek: 3, count: 1, grams: 600 }] });
    expect(rows[0]).toMatchObject({ firstExpiresOn: '2026-11-26', freshness: { soon: 1 } });
    expect(rows[2]).toMatchObject({ firstRipeOn: '2026-12-09', freshness: { growing: 5 } });
    expect(totals).toEqual({ count: 7, grams: 3900 });
  });

  it("is each farm's own", async () => {
    expect(await get(neighbour, '/api/stock')).toMatchObject({ rows: [], totals: { count: 0 } });
    expect((await neighbour.call('GET', `/api/stock/jars/${mothers[0]}`)).status).toBe(404);
    expect((await get(neighbour, `/api/stock/jars?strainId=${strainId}`)).items).toEqual([]);
  });
});

describe('the list of jars', () => {
  const codes = (list: { items: readonly SeenJar[] }) => list.items.map(({ code }) => code);

  it('comes page by page, skipping and repeating nothing', async () => {
    const all = codes(await get(farm, '/api/stock/jars'));
    expect(all).toHaveLength(7);
    for (const sort of ['code', 'newest']) {
      const paged: string[] = [];
      let cursor: string | null = '';
      while (cursor !== null) {
        const after: string = cursor === '' ? '' : `&cursor=${encodeURIComponent(cursor)}`;
        const page = await get(farm, `/api/stock/jars?limit=2&sort=${sort}${after}`);
        paged.push(...codes(page));
        cursor = page.next;
      }
      expect([sort, [...paged].sort()]).toEqual([sort, [...all].sort()]);
    }
  });

  it('takes filters', async () => {
    const count = async (query: string) => (await get(farm, `/api/stock/jars?${query}`)).items.length;
    expect(await count('state=incubating')).toBe(5);
    expect(await count('generation=1')).toBe(2);
    expect(await count(`roomId=${roomId}`)).toBe(6);
    expect(await count(`roomId=${randomUUID()}`)).toBe(0);
    const [first] = codes(await get(farm, '/api/stock/jars'));
    expect(await count(`code=${encodeURIComponent(first!.toLowerCase())}`)).toBe(1);
    expect(await count('code=%25')).toBe(0);
  });

  it.each([
    ['cursor=nonsense', '/cursor'],
    [`cursor=${Buffer.from('["2026-13-01","x"]').toString('base64url')}`, '/cursor'],
    [`cursor=${Buffer.from('["2026-01-01","a\\u0000b"]').toString('base64url')}`, '/cursor'],
    ['code=a%00b', '/code'],
    ['limit=0', '/limit'],
    ['state=asleep', '/state'],
    ['strainId=1', '/strainId'],
    ['colour=green', '/colour'],
  ])('says what is wrong with ?%s', async (query, pointer) => {
    const answer = await farm.call('GET', `/api/stock/jars?${query}`);
    expect([answer.status, answer.body.errors[0].pointer]).toEqual([400, pointer]);
  });
});

describe('one jar', () => {
  it('knows its place, its mothers and its entries', async () => {
    const { jar, mothers: up, entries, daughtersCount } = await get(farm, `/api/stock/jars/${daughters[0]}`);
    expect(jar).toMatchObject({
      state: 'incubating',
      generation: 2,
      ageDays: 0,
      ripeOn: '2026-12-09',
      ripeExpected: true,
    });
    expect(jar.place).toMatchObject({ roomName: 'Warm', shelfName: 'Left', row: 2, place: 1 });
    expect(up.map(({ jarId }: { jarId: string }) => jarId)).toEqual([mothers[0]]);
    expect(entries.map(({ kind }: { kind: string }) => kind)).toEqual(['inoculated']);
    expect(daughtersCount).toBe(0);
  });

  it('knows its daughters', async () => {
    const { jar, daughters: down, daughtersCount } = await get(farm, `/api/stock/jars/${mothers[0]}`);
    expect(daughtersCount).toBe(5);
    expect(down.map(({ jarId }: { jarId: string }) => jarId).sort()).toEqual([...daughters].sort());
    expect(jar).toMatchObject({ state: 'opened', gramsLeft: 300, expiresOn: '2026-11-27', daysLeft: 2 });
  });
});

describe('the shelves', () => {
  it('are drawn with each jar on its place, and those without one beside them', async () => {
    const { rooms, nowhere, nowhereCount } = await get(farm, '/api/stock/rooms');
    const [{ shelves, jars, places }] = rooms;
    expect([rooms.length, jars, places]).toEqual([1, 6, 8]);
    const drawn = shelves[0].jars.map((jar: Record<string, unknown>) => [jar.row, jar.place, jar.drawnShare]);
    expect(drawn).toContainEqual([1, 2, 1]);
    expect(drawn).toContainEqual([2, 1, 0]);
    expect(nowhereCount).toBe(1);
    expect(nowhere[0].id).toBe(mothers[1]);
  });
});

describe('contamination and ageing', () => {
  it('a jar found contaminated shows as that, and a discarded one is gone from the stock', async () => {
    const [first, second] = daughters;
    await record(farm, {
      kind: 'contamination_found',
      payload: { jarIds: [first], finding: 'green_mould', sure: true },
    });
    await record(farm, { kind: 'discarded', payload: { jarIds: [second], reason: 'other' } });
    const { rows } = await get(farm, '/api/stock');
    expect(rows.map((row: Record<string, unknown>) => [row.state, row.count])).toContainEqual(['contaminated', 1]);
    expect((await get(farm, '/api/stock/jars?state=contaminated')).items).toMatchObject([
      { id: first, freshness: 'none' },
    ]);
    expect((await get(farm, '/api/stock/jars?state=discarded')).items).toMatchObject([{ id: second }]);
    expect((await get(farm, '/api/stock/jars?onHand=false')).items).toHaveLength(7);
  });

  it('lists what will be too old in so many days, the oldest first', async () => {
    const soon = await get(farm, '/api/stock/ageing?days=1');
    expect(soon.items.map((jar: Record<string, unknown>) => [jar.id, jar.daysLeft])).toEqual([[mothers[1], 1]]);
    expect(soon.items[0]).toMatchObject({ planned: null, plannedOn: null, plannedRun: null });
    now = new Date('2026-11-28T09:00:00Z');
    const later = await get(farm, '/api/stock/ageing?days=1');
    expect(later.items.map((jar: Record<string, unknown>) => [jar.id, jar.daysLeft, jar.freshness])).toEqual([
      [mothers[1], -2, 'past'],
      [mothers[0], -1, 'past'],
    ]);
    expect(later).toMatchObject({ count: 2, grams: 900 });
  });
});
