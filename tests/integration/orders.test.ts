import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import { defaultLimits } from '../../libs/workbook/src/package/limits.js';
import { readCells } from '../../libs/workbook/src/package/read-cells.js';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { farmDigest } from '../support/farm-digest.js';
import { type PlantedFarm, plantFarm } from '../support/planted-farm.js';
import { FILE_HEADERS } from '../support/recipes/workbooks.js';
import { leafPointers, withValueAt } from '../support/request.js';

const NOW = new Date('2026-11-25T12:00:00Z');
// A change of the runs is answered once it is planned anew, which a busy machine takes its time for.
jest.setTimeout(240_000);

let api: TestApi;
let farm: World;
let planted: PlantedFarm;
let neighbour: World;
let theirs: PlantedFarm;

const at = (revision: number) => ({ 'if-match': `"${revision}"` });
const one = (wanted: object = {}) => ({
  ...{ kind: 'order', day: '2026-12-03', strainIds: [planted.strainId], sizeId: planted.sizeId, jars: 3 },
  ...wanted,
});
const add = async (wanted: object = {}) => (await farm.call('POST', '/api/runs', one(wanted))).body.run;
const read = async (id: string) => (await farm.call('GET', `/api/runs/${id}`)).body;
const cancel = (run: { id: string; revision: number }) =>
  farm.call('POST', `/api/runs/${run.id}/cancel`, {}, at(run.revision));

beforeAll(async () => {
  api = await startApi({ clock: () => NOW });
  farm = await api.farm('Farm');
  neighbour = await api.farm('Neighbour');
  const lots = [0, 1].map((day) => ({ day, mother: 0, bad: 0, jars: 8 }));
  planted = await plantFarm(farm, { now: NOW, start: '2026-11-08', mothers: 1, lots });
  theirs = await plantFarm(neighbour, { now: NOW, start: '2026-11-08', mothers: 1, lots: [] });
}, 300_000);
afterAll(() => api.close());

describe('an order for jars', () => {
  it('wants whole jars of a size, all of them, in the grams a full one holds', async () => {
    const order = await add({ forWhom: 'The farm over the hill' });
    expect(order).toMatchObject({
      ...{ kind: 'order', jars: 3, handedOver: 0, forWhom: 'The farm over the hill', state: 'planned' },
      ...{ name: 'OY1 order week 49', minGrams: 1800, targetGrams: 1800, maxGrams: 1800, minShare: 1, priority: 1 },
      size: { id: planted.sizeId, ripeGrams: 600 },
    });
    expect(order).not.toHaveProperty('substrateWetKg');
    await cancel(order);
  });

  it('is in the plan, and covered by jars that stand ripe', async () => {
    const order = await add();
    const { body } = await farm.call('POST', '/api/plan');
    expect(body.planId).toEqual(expect.any(String));
    const { coverage } = await read(order.id);
    expect(coverage).toMatchObject({ kind: 'full', jars: { left: 3, covered: 3, least: 3, otherGrams: 0 } });
    const week = (await farm.call('GET', '/api/week?week=2026-W49')).body;
    expect(week.runs.map(({ run }: { run: { order: unknown } }) => run.order)).toEqual([
      expect.objectContaining({ jars: 3, ripeGrams: 600, handedOver: 0, size: expect.anything() }),
    ]);
    await cancel(order);
  });

  it('follows its size when a full one turns out to hold less', async () => {
    const { body: size } = await farm.call('POST', '/api/farm/sizes', { name: 'Half', volumeMl: 500, ripeGrams: 300 });
    const order = await add({ sizeId: size.id });
    expect(order.targetGrams).toBe(900);
    await farm.call('PATCH', `/api/farm/sizes/${size.id}`, { ripeGrams: 250 }, at(size.revision));
    expect((await read(order.id)).targetGrams).toBe(750);
    await cancel(order);
  });

  it('counts unopened jars of its size that went whole, and asks for the rest', async () => {
    const order = await add({ minShare: 0.5, jars: 4 });
    const [whole, opened] = planted.jarIds[0]! as [string, string];
    const draw = (jarId: string, amount: object) => ({ runId: order.id, draws: [{ jarId, amount }] });
    await planted.log('2026-11-25T08:00:00Z', 'drawn_for_run', draw(whole, { by: 'all' }));
    await planted.log('2026-11-25T08:05:00Z', 'drawn_for_run', draw(opened, { by: 'half' }));
    await planted.log('2026-11-25T08:10:00Z', 'drawn_for_run', draw(opened, { by: 'all' }));
    expect(await read(order.id)).toMatchObject({ jars: 4, handedOver: 1 });
    await farm.call('POST', '/api/plan');
    const { coverage } = await read(order.id);
    expect(coverage).toMatchObject({ minGrams: 600, targetGrams: 1800, jars: { left: 3, least: 1 } });
    const { body: facts } = await farm.call('GET', '/api/bench/facts');
    const onTablet = facts.runs.find(({ id }: { id: string }) => id === order.id);
    expect(onTablet.order).toEqual({ sizeId: planted.sizeId, jars: 4, handedOver: 1 });
    await cancel(order);
  });

  it('is changed, done and planned again; what is said of substrate only is refused', async () => {
    const order = await add();
    const url = `/api/runs/${order.id}`;
    const changed = await farm.call('PATCH', url, { jars: 5, forWhom: null, minShare: 0.6 }, at(1));
    expect(changed.body.run).toMatchObject({ jars: 5, minGrams: 1800, targetGrams: 3000, revision: 2 });
    const wrong = await farm.call('PATCH', url, { substrateWetKg: 10, maxShare: 2 }, at(2));
    expect([wrong.status, wrong.body.errors.map(({ pointer }: { pointer: string }) => pointer)]).toEqual([
      422,
      ['/substrateWetKg', '/maxShare'],
    ]);
    expect((await farm.call('PATCH', url, { state: 'done' }, at(2))).body.run.state).toBe('done');
    expect((await farm.call('PATCH', url, { state: 'planned' }, at(3))).body.run.state).toBe('planned');
    await cancel({ ...order, revision: 4 });
  });

  it('sent twice under one id is one order, and never becomes a bulk run', async () => {
    const wanted = one({ id: randomUUID(), forWhom: 'Somebody' });
    const [first, second] = [
      await farm.call('POST', '/api/runs', wanted),
      await farm.call('POST', '/api/runs', wanted),
    ];
    expect([first.status, second.status, second.body.run]).toEqual([201, 201, first.body.run]);
    const bulk = { id: first.body.run.id, day: '2026-12-03', strainIds: [planted.strainId], substrateWetKg: 10 };
    expect((await farm.call('POST', '/api/runs', bulk)).status).toBe(409);
    await cancel(first.body.run);
  });

  it.each([
    [{ jars: 0 }, 400, '/jars'],
    [{ jars: 2.5 }, 400, '/jars'],
    [{ jars: 1e308 }, 400, '/jars'],
    [{ jars: undefined }, 400, '/jars'],
    [{ sizeId: 'litre' }, 400, '/sizeId'],
    [{ sizeId: undefined }, 400, '/sizeId'],
    [{ forWhom: 'a\u0000b' }, 400, '/forWhom'],
    [{ forWhom: 'x'.repeat(121) }, 400, '/forWhom'],
    [{ substrateWetKg: 10 }, 400, '/substrateWetKg'],
    [{ kind: 'gift' }, 400, '/kind'],
    [{ kind: null }, 400, '/kind'],
    [{ kind: 'bulk' }, 400, '/substrateWetKg'],
    [{ sizeId: randomUUID() }, 422, '/sizeId'],
    [{ strainIds: [randomUUID()] }, 422, '/strainIds/0'],
  ])('names what is wrong with %j and adds nothing', async (wrong, status, pointer) => {
    const before = (await farm.call('GET', '/api/runs?state=all')).body.items.length;
    const answer = await farm.call('POST', '/api/runs', one(wrong));
    const pointers = answer.body.errors.map((error: { pointer: string }) => error.pointer);
    expect([answer.status, pointers]).toEqual([status, expect.arrayContaining([pointer])]);
    expect((await farm.call('GET', '/api/runs?state=all')).body.items).toHaveLength(before);
  });

  it('is refused with nonsense in the place of any one value, as a problem and with nothing changed', async () => {
    const whole = one({
      forWhom: 'Somebody',
      minShare: 1,
      note: 'at the gate',
      name: 'Hill',
      priority: 2,
      slackDays: 1,
    });
    const junk = ['', '\u0000', '\ud800', 'x'.repeat(20_000), -1, 1e308, 2 ** 53, [[[]]], {}, true];
    for (const [at, pointer] of leafPointers(whole, () => true).entries()) {
      for (const value of junk.filter((_, i) => (i + at) % 2 === 0)) {
        const before = await farmDigest(api.database, farm.growerId);
        const { status, body, headers } = await farm.call('POST', '/api/runs', withValueAt(whole, pointer, value));
        expect([pointer, value, status, headers['content-type']]).toEqual([
          ...[pointer, value, expect.any(Number), 'application/problem+json'],
        ]);
        expect([400, 422]).toContain(status);
        expect(body.errors.map((error: { pointer: string }) => error.pointer)).toContain(pointer);
        expect(await farmDigest(api.database, farm.growerId)).toEqual(before);
      }
    }
  });

  it('is for a size of its own farm that holds spawn', async () => {
    const refused = async (sizeId: string) => {
      const { status, body } = await farm.call('POST', '/api/runs', one({ sizeId }));
      return [status, body.errors?.[0]];
    };
    // A stranger's size is refused in the words of one that does not exist.
    expect(await refused(theirs.sizeId)).toEqual(await refused(randomUUID()));
    const plates = { name: 'Plate', volumeMl: 90, container: 'plate', carrier: 'agar' };
    const { body: plate } = await farm.call('POST', '/api/farm/sizes', plates);
    expect(await refused(plate.id)).toEqual([422, expect.objectContaining({ pointer: '/sizeId' })]);
    const order = await add();
    const changed = await farm.call('PATCH', `/api/runs/${order.id}`, { sizeId: theirs.sizeId }, at(1));
    expect([changed.status, changed.body.errors[0].pointer]).toEqual([422, '/sizeId']);
    expect((await neighbour.call('GET', `/api/runs/${order.id}`)).status).toBe(404);
    await cancel(order);
  });

  it('keeps its size from being archived until it is changed or cancelled', async () => {
    const { body: size } = await farm.call('POST', '/api/farm/sizes', { name: 'Bottle', volumeMl: 700 });
    const order = await add({ sizeId: size.id });
    const archive = () => farm.call('PATCH', `/api/farm/sizes/${size.id}`, { archived: true }, at(size.revision));
    const refused = await archive();
    expect([refused.status, refused.body.detail]).toEqual([422, expect.stringContaining('1 order waits')]);
    await cancel(order);
    expect((await archive()).status).toBe(200);
  });

  it('is for leads to add, and for every hand to see', async () => {
    const order = await add();
    const hand = await farm.colleague('hand');
    expect((await hand.call('POST', '/api/runs', one())).status).toBe(403);
    expect((await hand.call('GET', `/api/runs/${order.id}`)).body).toMatchObject({ kind: 'order', jars: 3 });
    await cancel(order);
  });
});

describe('what others are told of an order', () => {
  it('lot records let its jar be shipped, not made into anything, and tell of no end of it', async () => {
    const order = await add({ jars: 1 });
    const jarId = planted.jarIds[1]![0]!;
    const payload = { runId: order.id, draws: [{ jarId, amount: { by: 'all' } }] };
    await planted.log('2026-11-25T09:00:00Z', 'drawn_for_run', payload);
    const { bytes } = await farm.call('GET', `/api/traceability/epcis?lotId=${planted.lotIds[1]}`);
    const told = JSON.parse(bytes.toString()).epcisBody.eventList as Record<string, unknown>[];
    const after = told.filter((event) => JSON.stringify(event).includes(jarId) && event.bizStep !== 'commissioning');
    expect(after.map(({ type, bizStep, epcList }) => [type, bizStep, epcList])).toEqual([
      ['ObjectEvent', 'shipping', [`urn:uuid:${jarId}`]],
    ]);
    expect(JSON.stringify(told)).not.toContain(order.id);
    await cancel(order);
  });

  it('the weekly workbook shows it on a sheet to read, and comes back without a change', async () => {
    const order = await add({ jars: 2, forWhom: '=1+1' });
    await farm.call('POST', '/api/plan');
    const { body: asked } = await farm.call('POST', '/api/workbooks', { week: '2026-W49' });
    expect(await farm.make(asked.id)).toBe('ready');
    const { bytes } = await farm.call('GET', `/api/workbooks/${asked.id}/file`);
    const { sheets } = await readCells(bytes, defaultLimits);
    const textsOf = (name: string) =>
      sheets
        .find((sheet) => sheet.name === name)!
        .rows.flatMap(({ cells }) => cells.flatMap(({ content }) => (content.kind === 'text' ? [content.text] : [])));
    expect(textsOf('Orders')).toEqual(expect.arrayContaining([order.name, '=1+1']));
    expect(textsOf('Bulk runs')).not.toContain(order.name);
    const back = await farm.call('POST', '/api/imports/workbook?name=week.xlsx', bytes, FILE_HEADERS);
    expect(back.body).toMatchObject({ problems: [], counts: { added: 0, changed: 0, cancelled: 0, conflicts: 0 } });
    expect((await read(order.id)).state).toBe('planned');
    await cancel(order);
  });
});

describe('what a farm learns of substrate', () => {
  it('leaves orders out: no harvest ahead, no yield, no row of a bulk run', async () => {
    const order = await add({ day: '2026-11-26' });
    await farm.call('PATCH', `/api/runs/${order.id}`, { state: 'done' }, at(1));
    const ahead = (await farm.call('GET', '/api/ahead')).body;
    expect(JSON.stringify(ahead)).not.toContain(order.name);
    expect(ahead.weeks.every((week: { plannedSpawnG: number }) => week.plannedSpawnG === 0)).toBe(true);
    const yields = await farm.call('GET', '/api/rates/yield');
    expect([yields.status, JSON.stringify(yields.body).includes(order.id)]).toEqual([200, false]);
  });
});

describe('the table of runs', () => {
  const values = {
    bulk: "'bulk', 1000, 0.05, 'wet/wet', 40, 50, 55, NULL, NULL, '', 1.1",
    order: "'order', NULL, NULL, NULL, NULL, NULL, NULL, 3, $3::uuid, 'somebody', 1",
  };
  const insert = (row: string) =>
    api.database.sql(
      `INSERT INTO bulk_run (grower_id, id, name, day, min_share, kind, substrate_wet_g, spawn_rate, basis, min_g,
         target_g, max_g, jars, size_id, for_whom, max_share)
       SELECT $1::uuid, $2::uuid, 'Row', '2026-12-24', 0.8, ${row} WHERE $3::uuid IS NOT NULL`,
      [farm.growerId, randomUUID(), planted.sizeId],
    );

  it.each(Object.entries(values))('takes a whole row of the kind %s', async (_, row) => {
    await insert(row);
    await api.database.sql("DELETE FROM bulk_run WHERE name = 'Row'");
  });

  it.each([
    ['a kind of its own', values.bulk.replace("'bulk'", "'gift'"), 'bulk_run_kind'],
    ['a bulk run without substrate', values.bulk.replace('1000', 'NULL'), 'bulk_run_has_substrate'],
    ['a bulk run with jars', values.bulk.replace('NULL, NULL', '3, NULL'), 'bulk_run_has_substrate'],
    ['a bulk run for somebody', values.bulk.replace("''", "'somebody'"), 'bulk_run_has_substrate'],
    ['an order with substrate', values.order.replace('NULL', '1000'), 'bulk_run_order_has_jars'],
    ['an order without jars', values.order.replace('3', 'NULL'), 'bulk_run_order_has_jars'],
    ['an order without a size', values.order.replace('$3::uuid', 'NULL'), 'bulk_run_order_has_jars'],
    ['an order for more than its jars', values.order.replace(/1$/, '1.2'), 'bulk_run_order_has_jars'],
    ['an order for no jars', values.order.replace(' 3,', ' 0,'), 'bulk_run_jars_some'],
    [
      'a size of another farm',
      values.order.replace('$3::uuid', `'${randomUUID()}'`),
      'bulk_run_grower_id_size_id_fkey',
    ],
  ])('refuses %s', async (_, row, constraint) => {
    await expect(insert(row)).rejects.toThrow(constraint);
  });
});
