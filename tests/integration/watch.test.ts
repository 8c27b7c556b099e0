import { WatchService } from '@jarfold/server';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { type PlantedFarm, plantFarm } from '../support/planted-farm.js';

const NOW = new Date('2026-11-25T12:00:00Z');

let api: TestApi;
let farm: World;
let planted: PlantedFarm;
let watch: WatchService;

/** All of the first mother's jars but one a lot go bad, few of the second's; the last lot stays unripe. */
beforeAll(async () => {
  api = await startApi({ clock: () => NOW });
  watch = new WatchService(api.database.growerDb, { now: () => NOW });
  farm = await api.farm('Farm');
  const lots = [0, 3, 6, 9].map((day, i) => ({ day, mother: i % 2, bad: i % 2 === 0 ? 7 : 0 }));
  planted = await plantFarm(farm, { now: NOW, start: '2026-10-01', mothers: 2, lots });
}, 300_000);
afterAll(() => api.close());

const ctxOf = ({ growerId }: World) => ({ growerId, staffId: null, role: null });
const flags = async (world: World): Promise<{ id: string; kind: string; where: string[] }[]> =>
  (await world.call('GET', '/api/watch')).body.items;
const ofKind = async (kind: string) => (await flags(farm)).filter((flag) => flag.kind === kind);

describe('the watch', () => {
  it('raises a bad mother with her jars that still stand, and is silent about the good one', async () => {
    await watch.look(ctxOf(farm));
    const [mother, ...others] = await ofKind('bad-mother');
    expect(others).toEqual([]);
    expect(mother!.where).toContain(planted.motherCodes[0]);
    expect(mother!.where.length).toBeGreaterThan(1);
    expect(mother).toMatchObject({ what: expect.stringContaining('14 of 16'), action: expect.any(String) });
  });

  it('does not raise one cause twice, however often and however many at once it looks', async () => {
    const before = await flags(farm);
    await Promise.all([watch.look(ctxOf(farm)), watch.look(ctxOf(farm))]);
    expect(await flags(farm)).toEqual(before);
  });

  it('raises a slow lot, and settles it once it is seen ripe', async () => {
    const { strainId, sizeId, motherIds } = planted;
    const [lotId, jarId] = [crypto.randomUUID(), crypto.randomUUID()];
    const mothers = [{ jarId: motherIds[1]!, amount: { by: 'grams', massG: 5 } }];
    await planted.log(planted.at(20), 'inoculated', { lotId, strainId, sizeId, mothers, jars: [{ id: jarId }] });
    await planted.log(planted.at(50), 'checked', { jars: [{ jarId, ripe: false }] });
    expect(await watch.look(ctxOf(farm))).toEqual({ raised: 1, settled: 0 });
    expect(await ofKind('slow-lot')).toHaveLength(1);
    await planted.log(planted.at(53), 'checked', { jars: [{ jarId, ripe: true }] });
    expect(await watch.look(ctxOf(farm))).toEqual({ raised: 0, settled: 1 });
    expect(await ofKind('slow-lot')).toEqual([]);
    const { items } = (await farm.call('GET', '/api/watch/settled?days=7')).body;
    expect(items).toMatchObject([{ kind: 'slow-lot', settledAt: NOW.toISOString() }]);
    expect((await farm.call('GET', '/api/watch/settled?days=0')).status).toBe(400);
  });

  it('keeps a flag that was seen, with who saw it and when, until its cause is gone', async () => {
    const { strainId, sizeId, motherIds } = planted;
    const [lotId, jarId] = [crypto.randomUUID(), crypto.randomUUID()];
    const mothers = [{ jarId: motherIds[1]!, amount: { by: 'grams', massG: 5 } }];
    await planted.log(planted.at(21), 'inoculated', { lotId, strainId, sizeId, mothers, jars: [{ id: jarId }] });
    await planted.log(planted.at(51), 'checked', { jars: [{ jarId, ripe: false }] });
    await watch.look(ctxOf(farm));
    const [flag] = await ofKind('slow-lot');
    expect(flag).toMatchObject({ seen: null });
    const lead = await farm.colleague('lead');
    const path = `/api/watch/${flag!.id}/seen`;
    expect((await (await farm.colleague('hand')).call('PUT', path, { seen: true })).status).toBe(403);
    const seen = { at: NOW.toISOString(), by: expect.stringContaining(farm.canary) };
    expect((await lead.call('PUT', path, { seen: true })).body).toMatchObject({ id: flag!.id, seen });
    await watch.look(ctxOf(farm));
    expect(await ofKind('slow-lot')).toMatchObject([{ id: flag!.id, seen }]);
    expect((await lead.call('PUT', path, { seen: false })).body.seen).toBeNull();
    expect((await farm.call('PUT', path, { seen: true })).body.seen).not.toBeNull();
    await planted.log(planted.at(54), 'checked', { jars: [{ jarId, ripe: true }] });
    await watch.look(ctxOf(farm));
    expect(await ofKind('slow-lot')).toEqual([]);
    expect((await farm.call('PUT', path, { seen: true })).status).toBe(404);
    const { items } = (await farm.call('GET', '/api/watch/settled?days=7')).body;
    expect(items.find(({ id }: { id: string }) => id === flag!.id).seen).toMatchObject({ at: NOW.toISOString() });
  });

  it('shows a farm its own flags only', async () => {
    const neighbour = await api.farm('Neighbour');
    expect(await watch.look(ctxOf(neighbour))).toEqual({ raised: 0, settled: 0 });
    expect(await flags(neighbour)).toEqual([]);
    expect((await flags(farm)).length).toBeGreaterThan(0);
  });
});
