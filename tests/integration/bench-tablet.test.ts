/** What a tablet gets of its farm: the snapshot, what has changed since, the day's jobs and photos. */
import { randomUUID } from 'node:crypto';
import { gunzipSync } from 'node:zlib';
import { type BenchSnapshot, benchSnapshotSchema, type TabletThings, unpackThings } from '@jarfold/contracts';
import { PhotosService, TabletService } from '@jarfold/server';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { type BenchFarm, makeBenchFarm, Tablet } from '../support/bench-farm.js';
import { SteppingClock } from '../support/stepping-clock.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

const clock = new SteppingClock('2026-11-25T08:00:00Z');

let database: TestDatabase;
let farm: BenchFarm;
let tablet: Tablet;
let tablets: TabletService;
beforeAll(async () => {
  database = await createTestDatabase();
  farm = await makeBenchFarm(database, clock);
  tablet = new Tablet(farm, clock);
  tablets = new TabletService(database.growerDb, clock);
});
afterAll(() => database.close());

const snapshot = async (): Promise<BenchSnapshot> => benchSnapshotSchema.parse((await tablets.snapshot(farm.ctx)).body);

/** A tablet's copy: the snapshot, then changes put in place of what it has. */
class Copy {
  position = 0;
  readonly things = new Map<string, unknown>();

  take({ position, things }: BenchSnapshot): void {
    this.position = position;
    const unpacked: TabletThings = unpackThings(things);
    for (const [kind, list] of Object.entries(unpacked)) {
      for (const thing of list) this.things.set(`${kind} ${thing.id}`, thing);
    }
  }

  async pull(): Promise<void> {
    const { position, tooOld, things } = await tablets.changes(farm.ctx, this.position);
    expect(tooOld).toBe(false);
    for (const { kind, id, state } of things) {
      if (state === null) this.things.delete(`${kind} ${id}`);
      else this.things.set(`${kind} ${id}`, state);
    }
    this.position = position;
  }
}

async function expectSameAsFresh(copy: Copy): Promise<void> {
  const fresh = new Copy();
  fresh.take(await snapshot());
  expect(Object.fromEntries(copy.things)).toEqual(Object.fromEntries(fresh.things));
  expect(copy.position).toBe(fresh.position);
}

describe('a tablet’s copy', () => {
  it('follows the server through making, drawing, moving, undoing and undoing the undoing', async () => {
    const copy = new Copy();
    copy.take(await snapshot());
    const [mother, other] = (await tablet.receive(2)) as [string, string];
    await copy.pull();
    const lotEntry = randomUUID();
    const jars = [randomUUID(), randomUUID()];
    await tablet.log('inoculated', tablet.inoculated(mother, 60, jars), lotEntry);
    await tablet.log('moved', { moves: [{ jarId: other, place: { shelfId: farm.shelfId, row: 1, place: 2 } }] });
    await tablet.log('chilled', { jarIds: [other] });
    await copy.pull();
    await expectSameAsFresh(copy);
    const undo = randomUUID();
    await tablet.log('corrected', { entryId: lotEntry, reason: 'wrong mother' }, undo);
    await copy.pull();
    expect([...copy.things.keys()].filter((key) => jars.some((id) => key.includes(id)))).toEqual([]);
    await expectSameAsFresh(copy);
    await tablet.log('corrected', { entryId: undo, reason: 'it was right' });
    await tablet.log('grain_soaked', { grainBatchId: randomUUID(), grain: 'rye', dryGrainG: 5000 });
    await tablet.log('containers_counted', { sizeId: farm.sizeId, cleanEmpty: 40 });
    await copy.pull();
    await expectSameAsFresh(copy);
    expect(copy.things.get(`jar ${jars[0]}`)).toMatchObject({
      generation: 2,
      code: expect.stringMatching(/^OY3-26W48-/),
    });
  });

  it('is told to begin anew when it is ahead of the log or too far behind', async () => {
    const { position } = await snapshot();
    expect(await tablets.changes(farm.ctx, position)).toEqual({ position, tooOld: false, things: [] });
    expect(await tablets.changes(farm.ctx, position + 1)).toEqual({ position, tooOld: true, things: [] });
    await database.sql('UPDATE bench_counter SET position = position + 6000 WHERE grower_id = $1', [farm.ctx.growerId]);
    expect(await tablets.changes(farm.ctx, position)).toMatchObject({ tooOld: true });
    await database.sql('UPDATE bench_counter SET position = position - 6000 WHERE grower_id = $1', [farm.ctx.growerId]);
  });

  it('keeps jars that went lately, and no others', async () => {
    const [soon, long] = (await tablet.receive(2)) as [string, string];
    await tablet.log('discarded', { jarIds: [soon, long], reason: 'surplus' });
    await database.sql('UPDATE jar SET gone_on = gone_on - 31 WHERE id = $1', [long]);
    const ids = unpackThings((await snapshot()).things).jar.map(({ id }) => id);
    expect(ids).toContain(soon);
    expect(ids).not.toContain(long);
  });

  it('names the farm’s lists with the values that hold', async () => {
    const { strains, sizes, shelves, runs, staff, settings } = await snapshot();
    expect(strains).toMatchObject([{ shortCode: 'OY3', lastGeneration: 9, mayBeChilled: true }]);
    expect(sizes).toMatchObject([{ name: 'Litre', ripeG: 600, container: 'jar', carrier: 'grain' }]);
    expect(shelves).toMatchObject([{ rows: 5, placesPerRow: 20 }]);
    expect(runs).toMatchObject([{ id: farm.runId, open: true, strainIds: [farm.strainId], targetG: 5000 }]);
    expect(staff).toEqual([{ id: farm.ctx.staffId, name: 'Owner', role: 'owner' }]);
    expect(settings.grain).toBe('rye');
  });

  it('has another tag exactly when something changed', async () => {
    const tag = async () => (await tablets.facts(farm.ctx)).tag;
    const before = await tag();
    expect(await tag()).toBe(before);
    await database.sql('UPDATE strain SET name = $2 WHERE grower_id = $1', [farm.ctx.growerId, 'Grey two']);
    expect(await tag()).not.toBe(before);
  });
});

describe('the day’s jobs', () => {
  /** A plan as the planner leaves it, made from the log as it stands. */
  async function plan(version: number, parts: object): Promise<void> {
    const result = {
      ...{ starts: [], preparations: [], cultures: [], moves: [], uses: [], runs: [], stranded: [], discards: [] },
      ...{ reserveGaps: [], impossible: [], costParts: {}, cost: 0, bound: 0, gap: 0, exact: true },
      ...parts,
    };
    await database.sql(
      `INSERT INTO plan (grower_id, id, version, status, as_of, situation_digest, facts_read_at, position, result,
         model_version, cost, bound, gap, exact, solve_ms, made_at)
       SELECT $1, $2, $3, 'proposed', '2026-11-25', $4, now(), position, $5, 'test', 0, 0, 0, true, 1, now()
       FROM bench_counter WHERE grower_id = $1`,
      [farm.ctx.growerId, randomUUID(), version, 'd'.repeat(64), JSON.stringify(result)],
    );
  }
  const start = (containers: number) => ({
    ...{ id: 's', benchDay: '2026-11-25', strainId: farm.strainId, generation: 2, sizeId: farm.sizeId, containers },
    ...{ mothers: [{ code: 'OY3-26W48-1/01', grams: 60 }], feeds: [], mothersLaterGrams: 0, reserveGrams: 0 },
    ...{ ripeOn: '2026-12-12', lastSafeDay: '2026-11-27' },
  });
  const jobs = async () =>
    (await tablets.jobs(farm.ctx)).jobs.map(({ kind, wanted, done }) => ({ kind, wanted, done }));

  it('tick themselves off as entries come in, are open again when one is undone, and stay through a new plan', async () => {
    expect(await jobs()).toEqual([]);
    await plan(1, {
      starts: [start(3)],
      moves: [{ day: '2026-11-26', kind: 'chill', from: 'tomorrow', containers: 1 }],
    });
    expect(await jobs()).toEqual([{ kind: 'inoculate', wanted: 3, done: 0 }]);
    const [mother] = (await tablet.receive(1)) as [string];
    const second = randomUUID();
    await tablet.log('inoculated', tablet.inoculated(mother, 40, [randomUUID(), randomUUID()]));
    await tablet.log('inoculated', tablet.inoculated(mother, 20, [randomUUID()]), second);
    expect(await jobs()).toEqual([{ kind: 'inoculate', wanted: 3, done: 3 }]);
    await tablet.log('corrected', { entryId: second, reason: 'not yet' });
    expect(await jobs()).toEqual([{ kind: 'inoculate', wanted: 3, done: 2 }]);
    await plan(2, { starts: [start(1)] });
    expect(await jobs()).toEqual([{ kind: 'inoculate', wanted: 3, done: 2 }]);
    await tablet.log('inoculated', tablet.inoculated(mother, 20, [randomUUID()]));
    expect(await jobs()).toEqual([{ kind: 'inoculate', wanted: 3, done: 3 }]);
  });

  it('of a run count the grams that went to it, from whichever jar', async () => {
    await plan(3, {
      uses: [{ ...{ day: '2026-11-25', from: 'OY3-26W48-1/01', grams: 500, to: { kind: 'run', run: farm.runId } } }],
    });
    const [jar] = (await tablet.receive(1)) as [string];
    await tablet.log('drawn_for_run', tablet.drawn(jar, 120.5));
    const use = (await jobs()).find(({ kind }) => kind === 'use');
    // The farm's first plan of the day is older: what went to the run since counts as done today.
    expect(use).toMatchObject({ done: expect.any(Number), wanted: (use?.done ?? 0) + 379.5 });
  });
});

describe('photos', () => {
  const jpeg = (fill: number, length = 40) =>
    Buffer.from([
      ...[0xff, 0xd8, 0xff, 0xe0, 0, length + 2, ...Array(length).fill(fill)],
      ...[0xff, 0xc0, 0, 11, 8, 1, 0xe0, 2, 0x80, 1, 1, 0x11, 0, 0xff, 0xd9],
    ]).toString('base64');
  let photos: PhotosService;
  let staff: typeof farm.ctx & { staffId: string };
  let entryId: string;
  let jarId: string;
  beforeAll(async () => {
    photos = new PhotosService(database.growerDb, clock);
    staff = { ...farm.ctx, staffId: farm.ctx.staffId ?? '' };
    [jarId] = (await tablet.receive(1)) as [string];
    entryId = randomUUID();
    await tablet.log('noted', { text: 'odd ring', jarIds: [jarId] }, entryId);
  });

  it('are kept once however often they come, also side by side, and found by their jar', async () => {
    const id = randomUUID();
    const photo = { entryId, jpegBase64: jpeg(1) };
    const kept = await Promise.all([1, 2, 3].map(() => photos.keep(staff, id, photo)));
    expect(kept[0]).toMatchObject({ photoId: id, entryId, widthPx: 640, heightPx: 480 });
    expect(kept[1]).toEqual(kept[0]);
    expect((await photos.list(farm.ctx, { jarId })).items).toEqual([kept[0]]);
    expect(Buffer.from(await photos.content(farm.ctx, id)).toString('base64')).toBe(photo.jpegBase64);
  });

  it('under a used id with another content are refused, and nothing changes', async () => {
    const id = randomUUID();
    await photos.keep(staff, id, { entryId, jpegBase64: jpeg(1) });
    await expect(photos.keep(staff, id, { entryId, jpegBase64: jpeg(2) })).rejects.toMatchObject({
      code: 'photo-differs',
    });
  });

  it.each([
    ['no JPEG', Buffer.from('<svg onload="alert(1)"/>').toString('base64'), 'invalid-input'],
    [
      'more than the bound',
      Buffer.concat([Buffer.from(jpeg(1), 'base64'), Buffer.alloc(307_200)]).toString('base64'),
      'invalid-input',
    ],
  ])('that are %s are refused', async (_, jpegBase64, code) => {
    await expect(photos.keep(staff, randomUUID(), { entryId, jpegBase64 })).rejects.toMatchObject({ code });
  });

  it('wait for their entry', async () => {
    const early = photos.keep(staff, randomUUID(), { entryId: randomUUID(), jpegBase64: jpeg(1) });
    await expect(early).rejects.toMatchObject({ code: 'not-found' });
  });
});

describe('over the wire', () => {
  let api: TestApi;
  let world: World;
  beforeAll(async () => {
    api = await startApi();
    world = await api.farm('Wire');
  });
  afterAll(() => api.close());

  it('nothing is sent again that has not changed', async () => {
    const first = await world.call('GET', '/api/bench/snapshot');
    expect(first.status).toBe(200);
    const again = await world.call('GET', '/api/bench/snapshot', undefined, {
      'if-none-match': String(first.headers.etag),
    });
    expect(again).toMatchObject({ status: 304, text: '' });
    const facts = await world.call('GET', '/api/bench/facts', undefined, { 'if-none-match': '"other"' });
    expect(facts).toMatchObject({ status: 200, body: { position: first.body.position } });
  });

  it('much is sent packed to who takes it', async () => {
    const count = 400;
    const { strains, sizes } = (await world.call('GET', '/api/bench/facts')).body;
    const started = strains.length > 0 ? null : await world.call('POST', '/api/farm/first-start', firstStart);
    expect(started === null || started.status < 300).toBe(true);
    const lists = (await world.call('GET', '/api/bench/facts')).body;
    const received = {
      ...{ lotId: randomUUID(), strainId: lists.strains[0].id, sizeId: (sizes[0] ?? lists.sizes[0]).id, generation: 1 },
      ...{ container: 'jar', carrier: 'grain', jars: Array.from({ length: count }, () => ({ id: randomUUID() })) },
    };
    const at = new Date().toISOString();
    const entry = { id: randomUUID(), sequence: 1, happenedAt: at, kind: 'received', payload: received };
    await world.call('POST', '/api/bench/entries', { deviceId: randomUUID(), sentAt: at, entries: [entry] });
    const response = await api.app.inject({
      method: 'GET',
      url: '/api/bench/snapshot',
      headers: { cookie: world.cookie, 'accept-encoding': 'gzip, br' },
    });
    expect(response.headers['content-encoding']).toBe('gzip');
    const unpacked = benchSnapshotSchema.parse(JSON.parse(gunzipSync(response.rawPayload).toString()));
    expect(unpackThings(unpacked.things).jar.length).toBeGreaterThanOrEqual(count);
    const plain = await world.call('GET', '/api/bench/snapshot', undefined, { 'accept-encoding': 'gzip;q=0' });
    expect(plain.headers['content-encoding']).toBeUndefined();
  });

  const firstStart = {
    strain: { speciesKey: 'pleurotus-ostreatus' },
    ripeJars: 1,
    run: { day: '2027-01-13', substrateWetKg: 20 },
  };

  it('another protocol and another farm are told apart from a broken request', async () => {
    const newer = await world.call('GET', '/api/bench/facts', undefined, { 'jarfold-bench-protocol': '99' });
    expect(newer).toMatchObject({ status: 409, body: { code: 'protocol-unsupported' } });
    expect(newer.headers['jarfold-bench-protocols']).toBe('1-1');
    expect((await world.call('GET', '/api/bench/facts', undefined, { 'jarfold-bench-protocol': '1' })).status).toBe(
      200,
    );
    const other = await world.call('GET', '/api/bench/facts', undefined, { 'jarfold-grower': randomUUID() });
    expect(other).toMatchObject({ status: 403, body: { code: 'other-farm' } });
    expect((await world.call('GET', '/api/bench/facts', undefined, { 'jarfold-grower': world.growerId })).status).toBe(
      200,
    );
  });

  it('the chain is walked in stretches that fit together', async () => {
    const whole = (await world.call('GET', '/api/bench/chain')).body;
    expect(whole).toMatchObject({ intact: true, next: null });
    const odd = await world.call('GET', '/api/bench/chain?after=1');
    expect(odd).toMatchObject({ status: 400, body: { code: 'invalid-input' } });
    const wrong = await world.call('GET', `/api/bench/chain?after=1&head=${'0'.repeat(64)}`);
    expect(wrong.body).toMatchObject({ intact: false, fault: { kind: 'link-broken', position: 2 } });
  });
});
