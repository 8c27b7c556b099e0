import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';

const NOW = new Date('2026-11-25T12:00:00Z');
const DAY_MS = 86_400_000;

let api: TestApi;
let farm: World;
const cycleId = randomUUID();
const boiledId = randomUUID();
const lotId = randomUUID();

beforeAll(async () => {
  api = await startApi({ clock: () => NOW });
  farm = await api.farm('Farm');
  const made = async (list: string, body: object): Promise<string> =>
    (await farm.call('POST', `/api/farm/${list}`, body)).body.id;
  const strainId = await made('strains', { speciesKey: 'pleurotus-ostreatus' });
  const sizeId = await made('sizes', { volumeMl: 1000, ripeGrams: 600 });
  const [motherId, bad, clean, blank] = Array.from({ length: 4 }, () => randomUUID());
  const received = {
    ...{ lotId: randomUUID(), strainId, sizeId, generation: 1, container: 'jar', carrier: 'grain' },
    jars: [{ id: motherId }],
  };
  const draw = { jarId: motherId, amount: { by: 'grams', massG: 50 } };
  await log(20, 'received', received);
  await log(9, 'cycle_started', { cycleId, method: 'pressure', steriliser: 'big pot', loads: [{ sizeId, count: 8 }] });
  await log(8.98, 'cycle_held', { cycleId, gaugePressureKpa: 103.4 });
  await log(8.9, 'cycle_ended', { cycleId, holdMin: 60, gaugePressureKpa: 103.4 });
  const jars = [{ id: bad }, { id: clean }];
  await log(8, 'inoculated', { lotId, cycleId, strainId, sizeId, mothers: [draw], jars });
  await log(8, 'blanks_kept', { lotId: randomUUID(), cycleId, sizeId, jars: [{ id: blank }] });
  await log(2, 'contamination_found', { jarIds: [bad], finding: 'green_mould', sure: true });
  await log(1, 'cycle_started', { cycleId: boiledId, method: 'boiling_water_steam', loads: [{ sizeId, count: 4 }] });
  await log(0.9, 'cycle_ended', { cycleId: boiledId, holdMin: 60 });
}, 300_000);
afterAll(() => api.close());

async function log(daysAgo: number, kind: string, payload: object): Promise<void> {
  const happenedAt = new Date(NOW.getTime() - daysAgo * DAY_MS).toISOString();
  const entry = { id: randomUUID(), sequence: 1, happenedAt, kind, payload };
  const batch = { deviceId: randomUUID(), sentAt: NOW.toISOString(), entries: [entry] };
  const { body, text } = await farm.call('POST', '/api/bench/entries', batch);
  if (body?.answers?.[0]?.outcome !== 'applied') throw new Error(text);
}

const cycle = async (id: string) => (await farm.call('GET', `/api/sterilising/cycle?cycleId=${id}`)).body;
const attach = (body: object, world = farm) => world.call('POST', '/api/sterilising/traces', body);
const file = (text: string, unit: 'C' | 'F' | null = null) => ({
  ...{ kind: 'file', id: randomUUID(), cycleId, fileName: 'probe.csv', text, unit },
});
const traces = async () => {
  const { trace, earlierTraces } = await cycle(cycleId);
  return trace === null ? 0 : earlierTraces + 1;
};

describe('steriliser cycles', () => {
  it('are listed newest first, each with the fate of its jars and blanks', async () => {
    const { items, next } = (await farm.call('GET', '/api/sterilising/cycles')).body;
    expect(items.map(({ id }: { id: string }) => id)).toEqual([boiledId, cycleId]);
    expect(items[1]).toMatchObject({ steriliser: 'big pot', lots: 1, jars: 2, contaminated: 1, blanks: 1 });
    expect(items[1]).toMatchObject({ blanksContaminated: 0, hasTrace: false });
    expect(next).toBeNull();
    const page = (await farm.call('GET', '/api/sterilising/cycles?limit=1')).body;
    expect(page).toMatchObject({ items: [{ id: boiledId }], next: boiledId });
    const rest = (await farm.call('GET', `/api/sterilising/cycles?limit=1&beforeId=${boiledId}`)).body;
    expect(rest.items).toMatchObject([{ id: cycleId }]);
  });

  it('whose boil was lost, as the bench said, depart from their method, until that is taken back', async () => {
    const lost = randomUUID();
    await log(0.8, 'cycle_started', { cycleId: lost, method: 'boiling_water_steam', loads: [] });
    await log(0.79, 'cycle_held', { cycleId: lost, temperatureC: 99.5 });
    await log(0.76, 'cycle_held', { cycleId: lost, temperatureC: 92, boilLost: true });
    await log(0.7, 'cycle_ended', { cycleId: lost, holdMin: 150 });
    expect((await cycle(lost)).verdict.departures).toContain('interrupted');
    expect((await cycle(lost)).readings).toEqual([
      {
        entryId: expect.any(String),
        at: expect.any(String),
        temperatureC: 99.5,
        gaugePressureKpa: null,
        boilLost: false,
      },
      { entryId: expect.any(String), at: expect.any(String), temperatureC: 92, gaugePressureKpa: null, boilLost: true },
    ]);
    const { entries } = (await farm.call('GET', '/api/bench/entries?limit=1000')).body;
    const said = entries.find(({ payload }: { payload: { boilLost?: boolean } }) => payload.boilLost === true);
    await log(0.1, 'corrected', { entryId: said.id, reason: 'misread' });
    expect((await cycle(lost)).verdict.departures).not.toContain('interrupted');
  });

  it('without a trace are judged from hold and gauge', async () => {
    const told = await cycle(cycleId);
    // 15 psi at sea level is 120.955 °C, so an hour is worth 60 × 10^(−0.145 / 10) minutes: steam tables, tests/reference.
    expect(told.verdict).toMatchObject({ kind: 'as the method asks', from: 'hold', departures: [] });
    expect(told.verdict.f0Min).toBeCloseTo(60 * 10 ** ((120.955 - 121.1) / 10), 1);
    expect(told.target).toMatchObject({ holdMin: 60, f0Min: 15, temperatureC: 121.1 });
    expect(told.lotRows.map(({ blank, jars }: { blank: boolean; jars: number }) => [blank, jars])).toEqual([
      [false, 2],
      [true, 1],
    ]);
    expect(told.loads).toMatchObject([{ volumeMl: 1000, count: 8, publishedHoldMin: 60 }]);
  });

  it('in boiling water are not blamed for what the method does not claim', async () => {
    const told = await cycle(boiledId);
    expect(told.verdict.kind).toBe('as the method asks');
    expect(told.target).toMatchObject({ f0Min: null });
    expect(told.target.achieves).toMatch(/does not kill heat-resistant spores/);
  });

  it('are found by the code on their label, letters in any case', async () => {
    const { code } = await cycle(cycleId);
    const found = (await farm.call('GET', `/api/sterilising/cycle?code=${code.toLowerCase()}`)).body;
    expect(found.id).toBe(cycleId);
    expect((await farm.call('GET', '/api/sterilising/cycle')).status).toBe(400);
    expect((await farm.call('GET', `/api/sterilising/cycle?cycleId=${randomUUID()}`)).status).toBe(404);
  });
});

describe('a trace', () => {
  it('without a unit is asked for it, and nothing is attached', async () => {
    const answer = await attach(file('minute,temperature\n0,20\n30,121'));
    expect(answer.status).toBe(400);
    expect(answer.body.errors).toMatchObject([{ pointer: '/unit' }]);
    expect(await traces()).toBe(0);
  });

  it('with bad lines is refused with every one of them named', async () => {
    const answer = await attach(file('minute,°C\n0,20\nx,30\n9,hot\n4,50\n20,121'));
    expect(answer.body.errors.map(({ detail }: { detail: string }) => detail.split(':')[0])).toEqual([
      'Line 3',
      'Line 4',
    ]);
    expect(answer.body.detail).toMatch(/2 things are wrong.*Nothing was attached/);
    expect(await traces()).toBe(0);
  });

  it('from a file in Fahrenheit is kept in Celsius, with who attached it and when, and gives F0', async () => {
    const hand = await farm.colleague('hand');
    // Ten minutes at 250 °F, which is 121.11 °C: F0 of a little over ten.
    const answer = await attach(file('minute,°F\n0,250\n10,250'), hand);
    expect(answer.status).toBe(201);
    expect(answer.body.trace).toMatchObject({ unit: 'F', attachedBy: hand.staffId, attachedAt: NOW.toISOString() });
    expect(answer.body.verdict).toMatchObject({ kind: 'departs', from: 'trace' });
    expect(answer.body.verdict.departures).toEqual(['short hold', 'below target']);
    expect(answer.body.verdict.f0Min).toBeCloseTo(10 * 10 ** ((250 - 32) / 18 - 12.11), 6);
  });

  it('attached later counts instead, and the earlier one is kept', async () => {
    const body = file(
      'minute;°C\n0;20\n9;80\n18;110\n25;121.4\n35;121.5\n45;121.4\n55;121.5\n65;121.4\n75;121.5\n88;121.4\n97;90',
    );
    const first = (await attach(body)).body;
    expect(first).toMatchObject({ earlierTraces: 1, verdict: { departures: ['gaps in the trace'] } });
    expect(first.trace.hot).toHaveLength(1);
    expect(first.kills[0].log10).toBeCloseTo(first.verdict.f0Min / first.kills[0].dMin, 9);
    // The same request again, and the same readings under another id, add nothing.
    expect((await attach(body)).status).toBe(201);
    expect((await attach({ ...body, id: randomUUID() })).status).toBe(201);
    expect(await traces()).toBe(2);
    expect((await attach({ ...file('min;°C\n0;1\n5;2'), id: body.id })).status).toBe(409);
  });

  it('that loses the boil is called interrupted', async () => {
    const points = [20, 121.4, 121.4, 121.4, 105, 121.4, 121.4, 121.4, 121.4].map((temperature, i) => ({
      ...{ minute: 10 * i, temperature },
    }));
    const answer = await attach({ kind: 'points', id: randomUUID(), cycleId, unit: 'C', points });
    expect(answer.body.verdict.departures).toContain('interrupted');
    expect(answer.body.trace).toMatchObject({ origin: 'points', fileName: null });
  });

  it('entered out of order is told at its own reading', async () => {
    const points = [0, 10, 5].map((minute) => ({ minute, temperature: 100 }));
    const answer = await attach({ kind: 'points', id: randomUUID(), cycleId, unit: 'C', points });
    expect(answer.status).toBe(400);
    expect(answer.body.errors).toMatchObject([{ pointer: '/points/2' }]);
  });

  it('of a stranger’s cycle is not found', async () => {
    const stranger = await api.farm('Stranger');
    expect((await attach(file('min;°C\n0;20\n5;30'), stranger)).status).toBe(404);
  });
});
