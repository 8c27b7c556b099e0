/** Grain on hand: counts and purchases kept once, what the bench log soaked taken off, what the plan needs beside it. */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';

const START = Date.parse('2026-11-23T09:00:00Z'); // a Monday

let nowMs = START;
let api: TestApi;
let farm: World;
beforeAll(async () => {
  api = await startApi({ clock: () => new Date(nowMs) });
  farm = await api.farm('Sacks');
});
afterAll(() => api.close());

const pass = (minutes: number) => {
  nowMs += minutes * 60_000;
};
const say = (kind: 'counted' | 'bought', massG: number, more: object = {}) =>
  farm.call('POST', '/api/preparation/grain', { id: randomUUID(), grain: 'rye', kind, massG, ...more });
const rye = async (world = farm) => (await world.call('GET', '/api/preparation/grain')).body.items[0];

/** Soaks a batch at a moment, in grams; without them nobody weighed it. */
async function soak(at: number, dryGrainG?: number, tablet = 'at the prep bench'): Promise<string> {
  const id = randomUUID();
  const payload = { grainBatchId: randomUUID(), grain: 'rye', ...(dryGrainG === undefined ? {} : { dryGrainG }) };
  await log({ id, happenedAt: new Date(at).toISOString(), kind: 'grain_soaked', payload }, tablet);
  return id;
}

const tablets = new Map<string, { readonly deviceId: string; sequence: number }>();
async function log(entry: object, name = 'at the prep bench'): Promise<void> {
  const tablet = tablets.get(name) ?? { deviceId: randomUUID(), sequence: 0 };
  tablets.set(name, tablet);
  tablet.sequence += 1;
  const answer = await farm.call('POST', '/api/bench/entries', {
    deviceId: tablet.deviceId,
    sentAt: new Date(nowMs).toISOString(),
    entries: [{ sequence: tablet.sequence, ...entry }],
  });
  expect(answer.body.answers).toMatchObject([{ outcome: 'applied' }]);
}

describe('grain on hand', () => {
  it('is not known before somebody counted, and a purchase alone does not make it so', async () => {
    expect(await rye()).toMatchObject({ grain: { key: 'rye' }, state: 'not-counted', onHandG: null, account: null });
    expect((await say('bought', 25_000)).status).toBe(201);
    expect(await rye()).toMatchObject({ state: 'not-counted', onHandG: null });
  });

  it('is what was counted, more what was bought and less what was soaked since', async () => {
    pass(1);
    const counted = nowMs;
    await say('counted', 40_000);
    pass(10);
    await say('bought', 25_000);
    await soak(nowMs, 7_500);
    await soak(nowMs);
    // A tablet that was off the network sends it late: it was soaked before anybody counted.
    await soak(counted - 60_000, 9_000, 'in the cellar');
    expect(await rye()).toMatchObject({
      state: 'known',
      onHandG: 57_500,
      account: { countedG: 40_000, boughtG: 25_000, soakedG: 7_500, unweighed: 1 },
    });
  });

  it('gives back what an undone entry took', async () => {
    pass(1);
    const entryId = await soak(nowMs, 1_000);
    expect((await rye()).onHandG).toBe(56_500);
    const payload = { entryId, reason: 'wrong batch' };
    await log({ id: randomUUID(), happenedAt: new Date(nowMs).toISOString(), kind: 'corrected', payload });
    expect((await rye()).onHandG).toBe(57_500);
  });

  it('is never shown below nothing: the count is out of date', async () => {
    pass(1);
    await soak(nowMs, 60_000);
    expect(await rye()).toMatchObject({ state: 'out-of-date', onHandG: null, account: { soakedG: 67_500 } });
    pass(1);
    await say('counted', 12_000);
    expect(await rye()).toMatchObject({ state: 'known', onHandG: 12_000 });
  });

  it('keeps what is sent twice once, and refuses another under its id', async () => {
    pass(1);
    const body = { id: randomUUID(), grain: 'wheat', kind: 'bought', massG: 5_000 };
    await say('counted', 1_000, { grain: 'wheat' });
    pass(1);
    const send = (more = {}) => farm.call('POST', '/api/preparation/grain', { ...body, ...more });
    expect((await send()).status).toBe(201);
    expect((await send()).status).toBe(201);
    const { items } = (await farm.call('GET', '/api/preparation/grain')).body;
    expect(items.map((item: { grain: object; onHandG: number }) => [item.grain, item.onHandG])).toEqual([
      [{ key: 'rye', name: 'rye' }, 12_000],
      [{ key: 'wheat', name: 'wheat' }, 6_000],
    ]);
    expect(await send({ massG: 6_000 })).toMatchObject({ status: 409, body: { code: 'conflict' } });
    expect(await say('counted', 1, { grain: 'gravel' })).toMatchObject({
      status: 400,
      body: { errors: [{ pointer: '/grain' }] },
    });
    expect(await say('bought', 0)).toMatchObject({ status: 400, body: { errors: [{ pointer: '/massG' }] } });
  });

  it('stands beside what the plan needs, with the day it runs out and the day to buy by', async () => {
    const small = await api.farm('Small');
    const started = await small.call('POST', '/api/farm/first-start', {
      strain: { speciesKey: 'pleurotus-ostreatus' },
      ripeJars: 6,
      run: { day: '2026-12-22', substrateWetKg: 40 },
    });
    expect(started.status).toBeLessThan(300);
    expect((await small.call('POST', '/api/plan')).status).toBe(200);
    expect((await rye(small)).outlook).toMatchObject({ missingG: null, runsOutOn: null });
    await small.call('POST', '/api/preparation/grain', { id: randomUUID(), grain: 'rye', kind: 'counted', massG: 0 });
    const { outlook } = await rye(small);
    const { newest } = (await small.call('GET', '/api/plan')).body;
    const first = newest.plan.preparations.map(({ day }: { day: string }) => day).sort()[0];
    expect(outlook.runsOutOn).toBe(first);
    expect(outlook.buyBy < first || outlook.buyBy === '2026-11-23').toBe(true);
    expect(outlook.fourWeeksG).toBeGreaterThan(0);
    expect(outlook.missingG).toBe(outlook.fourWeeksG);
  });
});
