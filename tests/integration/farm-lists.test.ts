import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';

let api: TestApi;
let farm: World;
let neighbour: World;

beforeAll(async () => {
  api = await startApi({ clock: () => new Date('2026-11-25T23:30:00Z') });
  farm = await api.farm('Farm');
  neighbour = await api.farm('Neighbour');
});
afterAll(() => api.close());

const at = (revision: number) => ({ 'if-match': `"${revision}"` });
const seen = async (world: World) => (await world.call('GET', '/api/farm')).body;

describe('settings', () => {
  it("begin with starting values, and the farm's day is its own", async () => {
    const { settings, today } = await seen(farm);
    expect(settings).toMatchObject({ timeZone: 'Europe/Vienna', horizonDays: 112, grain: 'rye' });
    expect(today).toBe('2026-11-26');
  });

  it('change in part, at the revision they were read at, and in no other farm', async () => {
    const { settings } = await seen(farm);
    const change = { timeZone: 'America/Chicago', rhythm: { benchWeekdays: [1, 4] }, costs: { perCycle: 5 } };
    const { status, body } = await farm.call('PATCH', '/api/farm/settings', change, at(settings.revision));
    expect(status).toBe(200);
    expect(body).toMatchObject({ revision: settings.revision + 1, timeZone: 'America/Chicago' });
    expect(body.rhythm).toEqual({ ...settings.rhythm, benchWeekdays: [1, 4] });
    expect(body.costs).toEqual({ ...settings.costs, perCycle: 5 });
    expect((await seen(farm)).today).toBe('2026-11-25');
    expect((await seen(neighbour)).settings).toMatchObject({ revision: 1, timeZone: 'Europe/Vienna' });
  });

  it('refuse a change without a revision, or decided on an older one', async () => {
    const body = { horizonDays: 60 };
    expect((await farm.call('PATCH', '/api/farm/settings', body)).status).toBe(428);
    const stale = await farm.call('PATCH', '/api/farm/settings', body, at(1));
    expect([stale.status, stale.body.code]).toEqual([412, 'revision-stale']);
    expect((await seen(farm)).settings.horizonDays).toBe(112);
  });

  it.each([
    [{ timeZone: 'Mars/Olympus' }, '/timeZone'],
    [{ horizonDays: 3 }, '/horizonDays'],
    [{ rhythm: { benchWeekdays: [0] } }, '/rhythm/benchWeekdays/0'],
    [{ rhythm: { closedDays: ['2026-02-30'] } }, '/rhythm/closedDays/0'],
    [{ costs: { perCycle: -1 } }, '/costs/perCycle'],
    [{ currency: 'euro' }, '/currency'],
    [{ moon: 'full' }, '/moon'],
  ])('name what is wrong with %j and change nothing', async (body, pointer) => {
    const { settings } = await seen(farm);
    const answer = await farm.call('PATCH', '/api/farm/settings', body, at(settings.revision));
    expect(answer.status).toBe(400);
    expect(answer.body.errors[0].pointer).toBe(pointer);
    expect((await seen(farm)).settings).toEqual(settings);
  });

  it('name a grain that Jarfold knows', async () => {
    const { settings } = await seen(farm);
    const answer = await farm.call('PATCH', '/api/farm/settings', { grain: 'gravel' }, at(settings.revision));
    expect([answer.status, answer.body.rule]).toEqual([422, 'unknown-grain']);
    expect((await seen(farm)).settings).toEqual(settings);
  });

  it('of two changes at once exactly one is taken', async () => {
    const { settings } = await seen(farm);
    const change = (horizonDays: number) =>
      farm.call('PATCH', '/api/farm/settings', { horizonDays }, at(settings.revision));
    const statuses = (await Promise.all([change(100), change(101)])).map(({ status }) => status);
    expect(statuses.sort()).toEqual([200, 412]);
  });

  it('are changed by an owner or a lead, not by a hand', async () => {
    const hand = await farm.colleague('hand');
    expect((await hand.call('PATCH', '/api/farm/settings', { horizonDays: 50 }, at(1))).status).toBe(403);
    expect((await hand.call('GET', '/api/farm')).status).toBe(200);
  });
});

describe('rooms and shelves', () => {
  it('a room has the places of its shelves in use', async () => {
    const room = (
      await farm.call('POST', '/api/farm/rooms', { name: 'Warm room', kind: 'incubation', temperatureC: 24 })
    ).body;
    expect(room).toMatchObject({ revision: 1, places: 0, archived: false });
    const shelf = { roomId: room.id, name: 'Left', rows: 4, placesPerRow: 10 };
    const left = (await farm.call('POST', '/api/farm/shelves', shelf)).body;
    await farm.call('POST', '/api/farm/shelves', { ...shelf, name: 'Right', rows: 2 });
    const placesNow = async () => (await seen(farm)).rooms.find(({ id }: { id: string }) => id === room.id).places;
    expect(await placesNow()).toBe(60);
    const archived = await farm.call('PATCH', `/api/farm/shelves/${left.id}`, { archived: true }, at(1));
    expect(archived.body).toMatchObject({ archived: true, revision: 2 });
    expect(await placesNow()).toBe(20);
  });

  it('one name stands for one room, and for one shelf of a room', async () => {
    const room = { name: 'Twice', kind: 'cold' };
    const { body: first } = await farm.call('POST', '/api/farm/rooms', room);
    const again = await farm.call('POST', '/api/farm/rooms', room);
    expect([again.status, again.body.errors[0].pointer]).toEqual([409, '/name']);
    const shelf = { roomId: first.id, name: 'A', rows: 1, placesPerRow: 5 };
    expect((await farm.call('POST', '/api/farm/shelves', shelf)).status).toBe(201);
    expect((await farm.call('POST', '/api/farm/shelves', shelf)).status).toBe(409);
    expect((await neighbour.call('POST', '/api/farm/rooms', room)).status).toBe(201);
  });

  it('sent twice under one id, a room is made once; another thing under that id is refused', async () => {
    const room = { id: randomUUID(), name: 'Once', kind: 'prep', temperatureC: 18.5 };
    const first = await farm.call('POST', '/api/farm/rooms', room);
    const second = await farm.call('POST', '/api/farm/rooms', room);
    expect([first.status, second.status]).toEqual([201, 201]);
    expect(second.body).toEqual(first.body);
    const other = await farm.call('POST', '/api/farm/rooms', { ...room, name: 'Other' });
    expect([other.status, other.body.code]).toEqual([409, 'conflict']);
  });

  it('a shelf stands in a room of the farm', async () => {
    const { body: theirs } = await neighbour.call('POST', '/api/farm/rooms', { name: 'Theirs', kind: 'cold' });
    const shelf = { roomId: theirs.id, name: 'Mine', rows: 1, placesPerRow: 5 };
    const answer = await farm.call('POST', '/api/farm/shelves', shelf);
    expect([answer.status, answer.body.errors[0].pointer]).toEqual([422, '/roomId']);
  });

  it('a shelf with jars is neither archived nor made too small for them', async () => {
    const world = await api.farm('Jars');
    await world.call('POST', '/api/farm/first-start', {
      strain: { speciesKey: 'pleurotus-ostreatus' },
      ripeJars: 4,
      run: { day: '2099-01-05', substrateWetKg: 20 },
    });
    const { shelves, rooms, strains, sizes } = await seen(world);
    const [shelf] = shelves;
    const tries = [
      ['shelves', shelf, { placesPerRow: 3 }, 'row 1 or place 4'],
      ['shelves', shelf, { archived: true }, '4 jars still stand'],
      ['rooms', rooms[0], { archived: true }, '4 jars still stand'],
      ['strains', strains[0], { archived: true }, '4 jars and 1 planned runs'],
      ['sizes', sizes[0], { archived: true }, '4 jars'],
      ['strains', strains[0], { code: 'OY9' }, 'labels'],
    ] as const;
    for (const [list, thing, change, sentence] of tries) {
      const answer = await world.call('PATCH', `/api/farm/${list}/${thing.id}`, change, at(thing.revision));
      expect([list, answer.status]).toEqual([list, 422]);
      expect(answer.body.detail).toContain(sentence);
    }
    expect(await seen(world)).toMatchObject({ shelves, rooms, strains, sizes });
  });
});

describe('strains', () => {
  it('go by their species until the farm says otherwise, each value with its source', async () => {
    const { body: strain } = await farm.call('POST', '/api/farm/strains', { speciesKey: 'pleurotus-ostreatus' });
    expect(strain).toMatchObject({ code: 'OY1', name: 'oyster', speciesName: 'Pleurotus ostreatus', archived: false });
    expect(strain.coldLifeDays).toMatchObject({ value: 60, origin: 'species', confidence: 'read' });
    expect(strain.coldLifeDays.source).toContain('Kalhout');

    const change = { coldLifeDays: 40, mayBeChilled: false, name: 'Old faithful' };
    const { body: changed } = await farm.call('PATCH', `/api/farm/strains/${strain.id}`, change, at(1));
    expect(changed.coldLifeDays).toEqual({ value: 40, origin: 'farm', source: null, confidence: null, note: null });
    expect(changed.mayBeChilled).toMatchObject({ value: false, origin: 'farm' });

    const back = await farm.call('PATCH', `/api/farm/strains/${strain.id}`, { coldLifeDays: null }, at(2));
    expect(back.body.coldLifeDays).toMatchObject({ value: 60, origin: 'species' });
    expect(back.body.mayBeChilled.value).toBe(false);
  });

  it('get the next free code, and refuse one a spreadsheet would change', async () => {
    const { body: second } = await farm.call('POST', '/api/farm/strains', { speciesKey: 'pleurotus-ostreatus' });
    expect(second.code).toBe('OY2');
    const taken = await farm.call('POST', '/api/farm/strains', { speciesKey: 'pleurotus-ostreatus', code: 'oy2' });
    expect([taken.status, taken.body.errors[0].pointer]).toEqual([409, '/code']);
    for (const code of ['MAR1', '1E5', 'TRUE', 'A']) {
      const answer = await farm.call('POST', '/api/farm/strains', { speciesKey: 'pleurotus-ostreatus', code });
      expect([code, answer.status, answer.body.errors?.[0].pointer]).toEqual([code, 400, '/code']);
    }
  });

  it('name a species Jarfold knows', async () => {
    const answer = await farm.call('POST', '/api/farm/strains', { speciesKey: 'unicorn' });
    expect([answer.status, answer.body.errors[0].pointer]).toEqual([422, '/speciesKey']);
    const { body } = await farm.call('GET', '/api/farm/species');
    expect(body.items.length).toBeGreaterThan(10);
    for (const { defaults } of body.items) {
      for (const value of Object.values(defaults)) expect((value as { source: string }).source).toBeTruthy();
    }
  });
});

describe('container sizes', () => {
  it('hold what their volume and the grain of the farm give, until one is weighed', async () => {
    const { body: size } = await neighbour.call('POST', '/api/farm/sizes', { volumeMl: 500 });
    expect(size).toMatchObject({ name: '500 ml', inoculumFactor: 0.5, cleanEmpty: null });
    expect(size.ripeGrams.origin).toBe('derived');
    const weighed = await neighbour.call('PATCH', `/api/farm/sizes/${size.id}`, { ripeGrams: 287.5 }, at(1));
    expect(weighed.body.ripeGrams).toMatchObject({ value: 287.5, origin: 'farm' });
  });

  it('are jars of grain until the farm says what they are', async () => {
    const { body: jar } = await neighbour.call('POST', '/api/farm/sizes', { volumeMl: 940 });
    expect(jar).toMatchObject({ container: 'jar', carrier: 'grain' });
    for (const [container, carrier] of [
      ['plate', 'agar'],
      ['syringe', 'liquid'],
      ['bag', 'sawdust'],
      ['bottle', 'plugs'],
      ['slant', 'agar'],
    ]) {
      const said = { name: `${container} of ${carrier}`, volumeMl: 90, container, carrier };
      const { body: size } = await neighbour.call('POST', '/api/farm/sizes', said);
      expect(size).toMatchObject({ container, carrier });
    }
    const changed = await neighbour.call('PATCH', `/api/farm/sizes/${jar.id}`, { container: 'bag' }, at(1));
    expect(changed.body).toMatchObject({ container: 'bag', carrier: 'grain' });
    const { body: facts } = await neighbour.call('GET', '/api/bench/facts');
    expect(facts.sizes).toContainEqual(
      expect.objectContaining({ name: 'plate of agar', container: 'plate', carrier: 'agar', dryGrainG: null }),
    );
  });

  it('clean empties are counted through the bench log', async () => {
    const { body: size } = await neighbour.call('POST', '/api/farm/sizes', { volumeMl: 750, cleanEmpty: 30 });
    expect(size.cleanEmpty).toBe(30);
    const counted = await neighbour.call('PATCH', `/api/farm/sizes/${size.id}`, { cleanEmpty: 24 }, at(1));
    expect(counted.body.cleanEmpty).toBe(24);
    const { body } = await neighbour.call('GET', '/api/bench/entries');
    expect(body.entries.map(({ kind, payload }: { kind: string; payload: object }) => [kind, payload])).toEqual([
      ['containers_counted', { sizeId: size.id, cleanEmpty: 30 }],
      ['containers_counted', { sizeId: size.id, cleanEmpty: 24 }],
    ]);
    const uncounted = await neighbour.call('PATCH', `/api/farm/sizes/${size.id}`, { cleanEmpty: null }, at(2));
    expect(uncounted.body.cleanEmpty).toBeNull();
  });
});
