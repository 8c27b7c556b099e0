/** What a tablet gets of its farm: the snapshot, what has changed since, the day's jobs, photos, and refused entries. */
import { randomUUID } from 'node:crypto';
import { gunzipSync } from 'node:zlib';
import { type BenchSnapshot, benchSnapshotSchema, type TabletThings, unpackThings } from '@jarfold/contracts';
import { ConflictsService, PhotosService, TabletService } from '@jarfold/server';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { type BenchFarm, benchState, makeBenchFarm, Tablet } from '../support/bench-farm.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

let nowMs = Date.parse('2026-11-25T08:00:00Z');
const clock = {
  now: () => {
    nowMs += 1000;
    return new Date(nowMs);
  },
};

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

describe('two tablets that draw the same grams', () => {
  let conflicts: ConflictsService;
  let other: Tablet;
  beforeAll(() => {
    conflicts = new ConflictsService(database.growerDb, farm.bench, { next: () => randomUUID() }, clock);
    other = new Tablet(farm, clock);
  });

  /** Both offline: one jar of 600 g, 400 g drawn by each. */
  async function clash(): Promise<{ jarId: string; refusedId: string }> {
    const [jarId] = (await tablet.receive(1)) as [string];
    const refusedId = randomUUID();
    const late = other.write('drawn_for_run', other.drawn(jarId, 400), refusedId);
    await tablet.log('drawn_for_run', tablet.drawn(jarId, 400));
    const [answer] = await other.send(late);
    expect(answer).toMatchObject({ outcome: 'refused', reason: 'draw-below-zero' });
    return { jarId, refusedId };
  }
  const left = async (jarId: string) =>
    (
      await database.sql<{ left: string; drawn: string }>(
        'SELECT left_g AS left, drawn_g AS drawn FROM jar WHERE id = $1',
        [jarId],
      )
    )[0];
  const runName = async () =>
    (await database.sql<{ name: string }>('SELECT name FROM bulk_run WHERE id = $1', [farm.runId]))[0]?.name;
  const lookedAt = async (id: string) => (await conflicts.list(farm.ctx)).items.find(({ entry }) => entry.id === id);

  it('the later one is seen by the lead with what can be done, and nothing is below zero', async () => {
    const { jarId, refusedId } = await clash();
    expect(await lookedAt(refusedId)).toMatchObject({
      message: expect.stringMatching(/holds 200 g by the books, 400 g were drawn/),
      ways: ['take_what_is_left', 'take_another_jar', 'drop'],
      jarsInTheWay: [{ jarId, leftG: 200, askedG: 400 }],
    });
    expect(Number((await left(jarId))?.left)).toBe(200);
  });

  it('stands beside the entry that came first, each with who did it, when and what for', async () => {
    const { jarId, refusedId } = await clash();
    const names = { by: 'Owner', tablet: null, purpose: await runName() };
    const seen = await lookedAt(refusedId);
    expect(seen).toMatchObject({ ...names, entry: { effectiveAt: expect.stringMatching(/^\d{4}-.*Z$/) } });
    expect(seen?.jarsInTheWay[0]?.earlier).toEqual([
      {
        ...names,
        ...{ entryId: expect.any(String), kind: 'drawn_for_run', massG: 400, estimated: false },
        effectiveAt: expect.stringMatching(/^\d{4}-\d\d-\d\dT[\d:.]+Z$/),
      },
    ]);
    await tablet.log('discarded', { jarIds: [jarId], reason: 'other' });
    const now = (await lookedAt(refusedId))?.jarsInTheWay[0];
    expect(now).toMatchObject({ leftG: 0 });
    expect(now?.earlier.map(({ kind, massG }) => [kind, massG])).toEqual([
      ['discarded', null],
      ['drawn_for_run', 400],
    ]);
  });

  it('an earlier draw that was taken back is in nobody’s way', async () => {
    const { jarId, refusedId } = await clash();
    const first = (await lookedAt(refusedId))?.jarsInTheWay[0]?.earlier[0]?.entryId ?? '';
    await tablet.log('corrected', { entryId: first, reason: 'a slip' });
    expect((await lookedAt(refusedId))?.jarsInTheWay).toEqual([]);
    expect((await lookedAt(refusedId))?.ways).toEqual(['try_again', 'drop']);
    await conflicts.settle(farm.ctx, refusedId, { way: 'try_again' });
    expect(Number((await left(jarId))?.left)).toBe(200);
  });

  it('is settled with what is left', async () => {
    const { jarId, refusedId } = await clash();
    const settled = await conflicts.settle(farm.ctx, refusedId, { way: 'take_what_is_left' });
    expect(settled.newEntryId).not.toBeNull();
    expect(await left(jarId)).toMatchObject({ left: '0.000', drawn: '600.000' });
    expect(await lookedAt(refusedId)).toBeUndefined();
    const log = (await farm.bench.pull(farm.ctx, { after: settled.position - 2, limit: 10 })).entries;
    expect(log.map(({ kind }) => kind)).toEqual(['drawn_for_run', 'settled']);
    await expect(conflicts.settle(farm.ctx, refusedId, { way: 'drop' })).rejects.toMatchObject({
      code: 'rule-refused',
    });
  });

  it('is settled with another jar, from those that hold enough', async () => {
    const { refusedId } = await clash();
    const [spare] = (await tablet.receive(1)) as [string];
    const offered = (await lookedAt(refusedId))?.otherJars ?? [];
    expect(offered.map(({ jarId }) => jarId)).toContain(spare);
    expect(offered.every(({ leftG }) => leftG >= 400)).toBe(true);
    await conflicts.settle(farm.ctx, refusedId, { way: 'take_another_jar', jarId: spare });
    expect(Number((await left(spare))?.left)).toBe(200);
  });

  it('another jar that holds too little leaves everything as it was', async () => {
    const { refusedId } = await clash();
    const [nearlyEmpty] = (await tablet.receive(1)) as [string];
    await tablet.log('drawn_for_run', tablet.drawn(nearlyEmpty, 500));
    const before = await benchState(database, farm.ctx.growerId);
    const settle = conflicts.settle(farm.ctx, refusedId, { way: 'take_another_jar', jarId: nearlyEmpty });
    await expect(settle).rejects.toMatchObject({ code: 'rule-refused' });
    expect(await benchState(database, farm.ctx.growerId)).toEqual(before);
    expect(await lookedAt(refusedId)).toBeDefined();
  });

  it('is dropped, and comes back when the settling is undone', async () => {
    const { refusedId } = await clash();
    const { settledBy } = await conflicts.settle(farm.ctx, refusedId, { way: 'drop' });
    expect(await lookedAt(refusedId)).toBeUndefined();
    await tablet.log('corrected', { entryId: settledBy, reason: 'look again' });
    expect(await lookedAt(refusedId)).toBeDefined();
    expect(await tablet.log('settled', { entryId: refusedId, way: 'drop' })).toMatchObject({ outcome: 'applied' });
    expect(await lookedAt(refusedId)).toBeUndefined();
  });

  it('a settlement is taken back with the entry it recorded, and settled another way', async () => {
    const { jarId, refusedId } = await clash();
    const before = await left(jarId);
    const { settledBy } = await conflicts.settle(farm.ctx, refusedId, { way: 'take_what_is_left' });
    expect(await conflicts.unsettle(farm.ctx, refusedId)).toMatchObject({ settlementId: settledBy });
    expect(await left(jarId)).toEqual(before);
    expect(await lookedAt(refusedId)).toBeDefined();
    await expect(conflicts.unsettle(farm.ctx, refusedId)).rejects.toMatchObject({ code: 'not-found' });
    await conflicts.settle(farm.ctx, refusedId, { way: 'drop' });
    expect(await lookedAt(refusedId)).toBeUndefined();
    expect(await left(jarId)).toEqual(before);
  });

  it('what was settled is listed for seven days, the latest first, with how and what for, until it is taken back', async () => {
    const laterBy = (ms: number) => {
      const later = { now: () => new Date(nowMs + ms) };
      return new ConflictsService(database.growerDb, farm.bench, { next: () => randomUUID() }, later);
    };
    const listed = async (ms = 0) => (await laterBy(ms).settledLately(farm.ctx)).items.map(({ entry }) => entry.id);
    const [first, second] = [(await clash()).refusedId, (await clash()).refusedId];
    const before = await listed();
    await conflicts.settle(farm.ctx, first, { way: 'drop' });
    const firstAtMs = nowMs;
    await conflicts.settle(farm.ctx, second, { way: 'take_what_is_left' });
    expect(await listed()).toEqual([second, first, ...before]);
    expect((await conflicts.settledLately(farm.ctx)).items.slice(0, 2)).toMatchObject([
      { entry: { outcome: 'refused' }, way: 'take_what_is_left', purpose: await runName() },
      { way: 'drop', purpose: await runName() },
    ]);
    const weekAfterFirst = firstAtMs + 7 * 24 * 3_600_000 - nowMs;
    expect(await listed(weekAfterFirst + 1)).toEqual([second]);
    expect(await listed(weekAfterFirst + 60_000)).toEqual([]);
    await conflicts.unsettle(farm.ctx, second);
    expect(await listed()).toEqual([first, ...before]);
  });

  it('a settlement stays whole when something rests on what it recorded', async () => {
    const [mother] = (await tablet.receive(1)) as [string];
    const [made, making] = [randomUUID(), randomUUID()];
    await tablet.log('drawn_for_run', tablet.drawn(mother, 300));
    await other.send(other.write('inoculated', other.inoculated(mother, 500, [made]), making));
    await conflicts.settle(farm.ctx, making, { way: 'take_what_is_left' });
    await tablet.log('checked', { jars: [{ jarId: made, colonisedShare: 0.2 }] });
    const before = await benchState(database, farm.ctx.growerId);
    await expect(conflicts.unsettle(farm.ctx, making)).rejects.toMatchObject({ code: 'rule-refused' });
    expect(await benchState(database, farm.ctx.growerId)).toEqual(before);
    expect(await lookedAt(making)).toBeUndefined();
  });

  it('what waited for a refused entry can be tried again once that one is settled', async () => {
    const [mother] = (await tablet.receive(1)) as [string];
    const [made, making, check] = [randomUUID(), randomUUID(), randomUUID()];
    const entries = [
      other.write('inoculated', other.inoculated(mother, 500, [made]), making),
      other.write('checked', { jars: [{ jarId: made, colonisedShare: 0.2 }] }, check),
    ];
    await tablet.log('drawn_for_run', tablet.drawn(mother, 300));
    expect((await other.send(...entries)).map((answer) => 'reason' in answer && answer.reason)).toEqual([
      'draw-below-zero',
      'unknown-jar',
    ]);
    expect((await lookedAt(check))?.ways).toEqual(['try_again', 'drop']);
    await conflicts.settle(farm.ctx, making, { way: 'take_what_is_left' });
    await conflicts.settle(farm.ctx, check, { way: 'try_again' });
    expect(await database.sql('SELECT colonised_share::float8 AS share FROM jar WHERE id = $1', [made])).toEqual([
      { share: 0.2 },
    ]);
  });

  it('a hand settles its own refused entries and nobody else’s', async () => {
    const { refusedId } = await clash();
    const asHand = { ...farm.ctx, staffId: await someHand(), role: 'hand' as const };
    const bySomebodyElse = tablet.write('settled', { entryId: refusedId, way: 'drop' });
    expect((await farm.bench.record(asHand, tablet.batch([bySomebodyElse]))).answers).toMatchObject([
      { reason: 'not-yours-to-settle' },
    ]);
    expect(await tablet.log('settled', { entryId: randomUUID(), way: 'drop' })).toMatchObject({
      reason: 'unknown-entry',
    });
  });

  async function someHand(): Promise<string> {
    const id = randomUUID();
    await database.sql("INSERT INTO staff (grower_id, id, role) VALUES ($1, $2, 'hand')", [farm.ctx.growerId, id]);
    return id;
  }
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
