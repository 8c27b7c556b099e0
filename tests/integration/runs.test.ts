import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { until } from '../support/until.js';

let api: TestApi;
let farm: World;
let neighbour: World;
let strainId: string;

const at = (revision: number) => ({ 'if-match': `"${revision}"` });
const strainOf = async (world: World) =>
  (await world.call('POST', '/api/farm/strains', { speciesKey: 'pleurotus-ostreatus' })).body.id as string;

beforeAll(async () => {
  api = await startApi({ clock: () => new Date('2026-11-25T09:00:00Z') });
  farm = await api.farm('Farm');
  neighbour = await api.farm('Neighbour');
  strainId = await strainOf(farm);
});
afterAll(() => api.close());

describe('a run', () => {
  it('needs only what, how much and when; its spawn follows from the rate of its species', async () => {
    const { status, body } = await farm.call('POST', '/api/runs', {
      day: '2027-01-11',
      strainIds: [strainId],
      substrateWetKg: 100,
    });
    expect(status).toBe(201);
    // 5 % of 100 kg wet substrate; four fifths of that still count as covered.
    expect(body.run).toMatchObject({
      ...{ revision: 1, name: 'OY1 week 2', spawnRate: 0.05, basis: 'wet/wet', state: 'planned' },
      ...{ minGrams: 4000, targetGrams: 5000, maxGrams: 5500, priority: 1, coverage: null, cancelled: null },
    });
    // Without a container size there is nothing to plan with, and nobody waits for a plan.
    expect(body.plan).toEqual({ id: null, freshness: 'current' });
  });

  it('on a dry basis needs spawn for the dry matter of its substrate', async () => {
    const run = { day: '2027-01-12', strainIds: [strainId], substrateWetKg: 100, basis: 'dry/dry', spawnRate: 0.05 };
    const usual = await farm.call('POST', '/api/runs', run);
    const wetter = await farm.call('POST', '/api/runs', { ...run, substrateMoisture: 0.75 });
    // 5 % of 35 kg dry substrate is 1.75 kg dry spawn, at half water 3.5 kg ripe; of 25 kg dry 2.5 kg.
    expect(usual.body.run.targetGrams).toBe(3500);
    expect(wetter.body.run.targetGrams).toBe(2500);
  });

  it('sent twice under one id is one run', async () => {
    const run = {
      id: randomUUID(),
      day: '2027-01-13',
      strainIds: [strainId],
      substrateWetKg: 33.333333,
      spawnRate: 0.0333333,
    };
    const [first, second] = [await farm.call('POST', '/api/runs', run), await farm.call('POST', '/api/runs', run)];
    expect([first.status, second.status]).toEqual([201, 201]);
    expect(second.body.run).toEqual(first.body.run);
    expect((await farm.call('POST', '/api/runs', { ...run, substrateWetKg: 40 })).status).toBe(409);
  });

  it('is changed at the revision it was read at', async () => {
    const { body } = await farm.call('POST', '/api/runs', {
      day: '2027-01-14',
      strainIds: [strainId],
      substrateWetKg: 10,
    });
    const url = `/api/runs/${body.run.id}`;
    const change = { substrateWetKg: 20, day: '2027-01-15', note: 'straw', priority: 2 };
    const changed = await farm.call('PATCH', url, change, at(1));
    expect(changed.body.run).toMatchObject({ ...change, revision: 2, targetGrams: 1000 });
    expect((await farm.call('PATCH', url, change, at(1))).status).toBe(412);
    expect((await farm.call('PATCH', url, change)).status).toBe(428);
    expect((await farm.call('GET', url)).body).toMatchObject({ revision: 2, note: 'straw' });
  });

  it('cancelled is kept, with who and when and why, and is changed no more', async () => {
    const { body } = await farm.call('POST', '/api/runs', {
      day: '2027-01-18',
      strainIds: [strainId],
      substrateWetKg: 10,
    });
    const url = `/api/runs/${body.run.id}`;
    const cancelled = await farm.call('POST', `${url}/cancel`, { reason: 'no straw' }, at(1));
    expect(cancelled.body.run).toMatchObject({
      state: 'cancelled',
      cancelled: { at: '2026-11-25T09:00:00.000Z', byStaffId: farm.staffId, reason: 'no straw' },
    });
    expect((await farm.call('PATCH', url, { priority: 3 }, at(2))).status).toBe(422);
    const listed = async (query: string) =>
      (await farm.call('GET', `/api/runs?${query}`)).body.items.map(({ id }: { id: string }) => id);
    expect(await listed('')).not.toContain(body.run.id);
    expect(await listed('state=cancelled')).toEqual([body.run.id]);
    expect(await listed('state=all')).toContain(body.run.id);
    const again = await farm.call('POST', `${url}/cancel`, { reason: 'other' }, at(2));
    expect(again.body.run.cancelled.reason).toBe('no straw');
  });

  it('done is kept too, and not cancelled afterwards', async () => {
    const { body } = await farm.call('POST', '/api/runs', {
      day: '2027-01-19',
      strainIds: [strainId],
      substrateWetKg: 10,
    });
    const url = `/api/runs/${body.run.id}`;
    expect((await farm.call('PATCH', url, { state: 'done' }, at(1))).body.run.state).toBe('done');
    const answer = await farm.call('POST', `${url}/cancel`, {}, at(2));
    expect([answer.status, answer.body.code]).toEqual([422, 'rule-refused']);
  });

  it('lies between two days when asked so', async () => {
    const { body } = await farm.call('GET', '/api/runs?from=2027-01-12&to=2027-01-13');
    expect(new Set(body.items.map(({ day }: { day: string }) => day))).toEqual(new Set(['2027-01-12', '2027-01-13']));
  });

  it.each([
    [{ substrateWetKg: -5 }, 400, '/substrateWetKg'],
    [{ substrateWetKg: 'many' }, 400, '/substrateWetKg'],
    [{ day: '2027-02-30' }, 400, '/day'],
    [{ spawnRate: 5 }, 400, '/spawnRate'],
    [{ basis: 'wet' }, 400, '/basis'],
    [{ strainIds: [] }, 400, '/strainIds'],
    [{ strainIds: ['OY1'] }, 400, '/strainIds/0'],
    [{ minShare: 1.2 }, 400, '/minShare'],
    [{ colour: 'grey' }, 400, '/colour'],
    [{ strainIds: [randomUUID()] }, 422, '/strainIds/0'],
  ])('names what is wrong with %j and adds nothing', async (wrong, status, pointer) => {
    const before = (await farm.call('GET', '/api/runs?state=all')).body.items.length;
    const run = { day: '2027-01-20', strainIds: [strainId], substrateWetKg: 10, ...wrong };
    const answer = await farm.call('POST', '/api/runs', run);
    expect([answer.status, answer.body.errors[0].pointer]).toEqual([status, pointer]);
    expect((await farm.call('GET', '/api/runs?state=all')).body.items).toHaveLength(before);
  });

  it('names strains of its own farm, each once', async () => {
    const theirs = await strainOf(neighbour);
    const run = { day: '2027-01-20', substrateWetKg: 10 };
    const stranger = await farm.call('POST', '/api/runs', { ...run, strainIds: [strainId, theirs] });
    expect([stranger.status, stranger.body.errors[0].pointer]).toEqual([422, '/strainIds/1']);
    expect((await farm.call('POST', '/api/runs', { ...run, strainIds: [strainId, strainId] })).status).toBe(422);
    expect((await neighbour.call('GET', '/api/runs?state=all')).body.items).toEqual([]);
  });
});

describe('a change of the runs', () => {
  it('changes the plan: covered when it is added, not known when it is cancelled', async () => {
    const world = await api.farm('Kitchen');
    const { body: started } = await world.call('POST', '/api/farm/first-start', {
      strain: { speciesKey: 'pleurotus-ostreatus' },
      ripeJars: 6,
      run: { day: '2026-12-30', substrateWetKg: 20 },
    });
    const run = { day: '2027-01-06', strainIds: [started.strainId], substrateWetKg: 10 };
    const { body: added } = await world.call('POST', '/api/runs', run);
    const coverage = async () => (await world.call('GET', `/api/runs/${added.run.id}`)).body.coverage;
    await until('the plan to know the new run', async () => (await coverage()) !== null, 90_000);
    expect(await coverage()).toMatchObject({ targetGrams: 500, kind: expect.stringMatching(/^(full|covered)$/) });

    const { body: cancelled } = await world.call('POST', `/api/runs/${added.run.id}/cancel`, {}, at(1));
    expect(cancelled.run.coverage).toBeNull();
    const runsOfPlan = async () =>
      (await world.call('GET', '/api/plan')).body.newest.plan.runs.map(({ run: id }: { run: string }) => id);
    await until('the plan without it', async () => (await runsOfPlan()).length === 1, 90_000);
    expect(await runsOfPlan()).toEqual([started.runId]);
  }, 240_000);
});
