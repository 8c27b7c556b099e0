import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { type PlantedFarm, plantFarm } from '../support/planted-farm.js';

const START = '2026-06-01';
const NOW = new Date('2026-11-25T12:00:00Z');
/** A lot of eight that has grown for ten days now and that nobody has looked at. */
const GROWING = { day: 167, mother: 0, bad: 0, ripeAfter: null };

let api: TestApi;

/** A farm with so many bad jars in each of its lots, and a run in a week that five of eight growing jars cover. */
async function farmWith(bad: readonly number[]): Promise<{ readonly world: World; readonly planted: PlantedFarm }> {
  const world = await api.farm('Farm');
  const lots = [...bad.map((each, i) => ({ day: 5 * i, mother: i % 2, bad: each })), GROWING];
  const planted = await plantFarm(world, { now: NOW, start: START, mothers: 2, lots });
  const run = { day: '2026-12-02', strainIds: [planted.strainId], substrateWetKg: 66 };
  expect((await world.call('POST', '/api/runs', run)).status).toBe(201);
  return { world, planted };
}

async function told(world: World) {
  await world.call('POST', '/api/plan');
  const { review } = (await world.call('GET', '/api/plan/review')).body;
  const { items } = (await world.call('GET', '/api/runs')).body;
  return { grounds: review.grounds[0], probability: items[0].coverage.probability as number };
}

beforeAll(async () => {
  api = await startApi({ clock: () => NOW });
}, 120_000);
afterAll(() => api.close());

describe('the chance a plan is told with', () => {
  it('is worse on a farm whose lots went bad, and says which lots that is from', async () => {
    const good = await farmWith(Array.from({ length: 24 }, (_, i) => Number(i % 4 === 0)));
    const bad = await farmWith(Array.from({ length: 24 }, (_, i) => (i % 3 === 0 ? 7 : 1)));
    const [fine, poor] = [await told(good.world), await told(bad.world)];
    expect(fine.probability).toBeGreaterThan(0.9);
    expect(poor.probability).toBeLessThan(fine.probability - 0.15);
    expect(poor.grounds).toMatchObject({
      ...{ loss: 'learned', lots: 24, jars: 192, spread: 'strain', ripening: 'learned' },
    });
    expect(poor.grounds.ripeningJars).toBeGreaterThan(90);
  }, 240_000);

  it('sees uneven lots: as many lost in a few lots as evenly over all is the greater risk', async () => {
    const even = await told((await farmWith(Array.from({ length: 24 }, () => 2))).world);
    const uneven = await told((await farmWith(Array.from({ length: 24 }, (_, i) => (i % 4 === 0 ? 8 : 0)))).world);
    expect(uneven.probability).toBeLessThan(even.probability - 0.03);
  }, 240_000);

  it('keeps what a lot has come through: seen clean today it is likelier to cover its run', async () => {
    const { world, planted } = await farmWith(Array.from({ length: 24 }, (_, i) => (i % 3 === 0 ? 7 : 1)));
    const before = await told(world);
    const jars = planted.jarIds.at(-1)!.map((jarId) => ({ jarId, ripe: false, colonisedShare: 0.8 }));
    await planted.log('2026-11-25T11:00:00Z', 'checked', { jars });
    const after = await told(world);
    expect(after.probability).toBeGreaterThan(before.probability + 0.05);
  }, 240_000);

  it('is what is published, and says so, on a farm without a log', async () => {
    const { grounds } = await told((await farmWith([])).world);
    expect(grounds).toMatchObject({ loss: 'species', lots: 0, jars: 0, spread: 'usual', ripening: 'usual' });
  }, 240_000);
});
