/** The bench log as HTTP sees it: contract, roles, limits, and what a stranger's ids are worth. */
import { randomUUID } from 'node:crypto';
import { MAX_ENTRIES_PER_BATCH } from '@jarfold/contracts';
import type { EntryKind, EntryPayloads } from '@jarfold/domain';
import { BenchService } from '@jarfold/server';
import { systemClock, systemIds } from '@jarfold/server/platform';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { type Answer, startApi, type TestApi, type World } from '../support/api-app.js';
import { benchState } from '../support/bench-farm.js';

let api: TestApi;
let own: Stocked;
let stranger: Stocked;

interface Stocked {
  readonly world: World;
  readonly ids: Readonly<
    Record<'strain' | 'size' | 'shelf' | 'run' | 'jar' | 'lot' | 'cycle' | 'batch' | 'entry', string>
  >;
}

beforeAll(async () => {
  api = await startApi();
  own = await stocked('Own');
  stranger = await stocked('Stranger');
});
afterAll(() => api.close());

const now = () => new Date().toISOString();

function entry<K extends EntryKind>(kind: K, payload: EntryPayloads[K], sequence = 1, id: string = randomUUID()) {
  return { id, sequence, happenedAt: now(), kind, payload };
}

function post(world: World, entries: readonly unknown[], deviceId: string = randomUUID()): Promise<Answer> {
  return world.call('POST', '/api/bench/entries', { deviceId, sentAt: now(), entries });
}

/** A farm with one of everything an entry can refer to. */
async function stocked(name: string): Promise<Stocked> {
  const world = await api.farm(name);
  const { growerId } = world;
  const id = () => randomUUID() as string;
  const ids = {
    strain: id(),
    size: id(),
    shelf: id(),
    run: id(),
    jar: id(),
    lot: id(),
    cycle: id(),
    batch: id(),
    entry: id(),
  };
  const roomId = randomUUID();
  await api.database.growerDb.run({ growerId }, async (tx) => {
    await tx.strain.create({ data: { growerId, id: ids.strain, shortCode: 'OY3', name: 'Grey', speciesKey: 'other' } });
    await tx.containerSize.create({ data: { growerId, id: ids.size, name: 'Litre', volumeMl: 1000, ripeG: 600 } });
    await tx.room.create({ data: { growerId, id: roomId, name: 'Warm', kind: 'incubation' } });
    await tx.shelf.create({ data: { growerId, id: ids.shelf, roomId, name: 'A', rows: 5, placesPerRow: 20 } });
    const masses = {
      substrateWetG: 1e5,
      spawnRate: 0.05,
      minShare: 0.8,
      maxShare: 1.2,
      minG: 4000,
      targetG: 5000,
      maxG: 6000,
    };
    await tx.bulkRun.create({ data: { growerId, id: ids.run, name: 'Run', day: new Date('2026-12-01'), ...masses } });
  });
  return restocked({ world, ids });
}

/** The same farm with another jar, lot, batch, cycle and entry to refer to. */
async function restocked({ world, ids: settings }: Stocked): Promise<Stocked> {
  const id = () => randomUUID() as string;
  const ids = { ...settings, jar: id(), lot: id(), cycle: id(), batch: id(), entry: id() };
  const lot = { lotId: ids.lot, strainId: ids.strain, sizeId: ids.size, generation: 1 };
  const answer = await post(world, [
    entry('received', { ...lot, container: 'jar', carrier: 'grain', jars: [{ id: ids.jar }] }),
    entry('grain_filled', { grainBatchId: ids.batch, grain: 'rye', fills: [{ sizeId: ids.size, count: 3 }] }, 2),
    entry('cycle_started', { cycleId: ids.cycle, method: 'pressure', loads: [] }, 3),
    entry('noted', { text: 'here' }, 4, ids.entry),
  ]);
  expect(answer.body.answers.map(({ outcome }: { outcome: string }) => outcome)).toEqual(Array(4).fill('applied'));
  return { world, ids };
}

describe('POST /api/bench/entries', () => {
  it('takes ids in capitals for the same ids (RFC 9562), and its chain stays intact', async () => {
    const world = await api.farm('Capitals');
    const note = entry('noted', { text: 'shouted' }, 1, randomUUID());
    const shouted = { ...note, id: note.id.toUpperCase() };
    const deviceId = randomUUID();
    const answers = async (entries: readonly unknown[], device: string) =>
      (await post(world, entries, device)).body.answers;
    expect(await answers([shouted], deviceId.toUpperCase())).toMatchObject([{ outcome: 'applied', id: note.id }]);
    expect(await answers([note], deviceId)).toMatchObject([{ outcome: 'applied', repeated: true }]);
    const bench = new BenchService(api.database.growerDb, systemClock, systemIds);
    const ctx = { growerId: world.growerId, staffId: null, role: null };
    expect(await bench.verifyChain(ctx)).toMatchObject({ intact: true, checked: 1 });
  });

  it('answers entry by entry with 200', async () => {
    const answer = await post(own.world, [
      entry('mother_kept', { jarIds: [own.ids.jar] }),
      entry('shaken', { jarIds: [randomUUID()] }, 2),
    ]);
    expect(answer.status).toBe(200);
    expect(answer.body).toMatchObject({
      lastSequence: 2,
      answers: [
        { outcome: 'applied', warnings: [], repeated: false },
        { outcome: 'refused', reason: 'unknown-jar', obstacles: [{ code: 'unknown-jar' }] },
      ],
    });
  });

  it('answers the same id with another content with a 422 problem that names the entry', async () => {
    const deviceId = randomUUID();
    const note = entry('noted', { text: 'first' });
    await post(own.world, [note], deviceId);
    const answer = await post(own.world, [{ ...note, payload: { text: 'second' } }], deviceId);
    expect(answer.status).toBe(422);
    expect(answer.headers['content-type']).toMatch('application/problem+json');
    expect(answer.body).toMatchObject({ code: 'entry-differs', detail: expect.stringContaining(note.id) });
    expect(answer.body.errors).toMatchObject([{ pointer: '/entries/0' }]);
  });

  it.each([
    ['no entries', { entries: [] }],
    [
      'too many entries',
      { entries: Array.from({ length: MAX_ENTRIES_PER_BATCH + 1 }, (_, n) => entry('noted', { text: 'x' }, n + 1)) },
    ],
    ['a sequence of zero', { entries: [entry('noted', { text: 'x' }, 0)] }],
    ['a payload that is no object', { entries: [{ ...entry('noted', { text: 'x' }), payload: 'text' }] }],
    ['a payload too long', { entries: [{ ...entry('noted', { text: 'x' }), payload: { text: 'x'.repeat(200_001) } }] }],
    ['an unknown member', { surprise: true }],
    ['a clock that is no moment', { sentAt: 'yesterday' }],
    ['a device that is no id', { deviceId: '7' }],
    [
      'a moment before any clock',
      { entries: [{ ...entry('noted', { text: 'x' }), happenedAt: '0000-01-01T00:00:00Z' }] },
    ],
  ])('refuses a request with %s as a whole and keeps nothing', async (_name, change) => {
    const before = await head(own);
    const body = { deviceId: randomUUID(), sentAt: now(), entries: [entry('noted', { text: 'x' })], ...change };
    const answer = await own.world.call('POST', '/api/bench/entries', body);
    expect(answer.status).toBe(400);
    expect(answer.body).toMatchObject({ code: 'invalid-input', errors: expect.any(Array) });
    expect(await head(own)).toBe(before);
  });

  it('needs somebody signed in', async () => {
    const call = {
      method: 'POST',
      url: '/api/bench/entries',
      body: { deviceId: randomUUID(), sentAt: now(), entries: [] },
    };
    expect((await api.send(call)).status).toBe(401);
  });

  it('lets hands log, and only a lead check the chain', async () => {
    const hand = await own.world.colleague('hand');
    expect((await post(hand, [entry('noted', { text: 'by a hand' })])).status).toBe(200);
    expect((await hand.call('GET', '/api/bench/chain')).status).toBe(403);
    const lead = await own.world.colleague('lead');
    expect((await lead.call('GET', '/api/bench/chain')).body).toMatchObject({ intact: true, fault: null });
  });
});

describe('GET /api/bench/entries', () => {
  it('pages through the log by position', async () => {
    const first = (await own.world.call('GET', '/api/bench/entries?after=0&limit=2')).body;
    expect(first.entries.map(({ position }: { position: number }) => position)).toEqual([1, 2]);
    expect(first.next).toBe(2);
    const rest = (await own.world.call('GET', '/api/bench/entries?after=2')).body;
    expect(rest.entries[0].position).toBe(3);
    expect(rest.next).toBe(rest.head);
    expect((await own.world.call('GET', `/api/bench/entries?after=${rest.head}`)).body).toMatchObject({
      entries: [],
      next: rest.head,
    });
  });

  it.each(['after=-1', 'after=x', 'limit=0', 'limit=1001', 'page=2'])('refuses %s', async (query) => {
    expect((await own.world.call('GET', `/api/bench/entries?${query}`)).status).toBe(400);
  });
});

async function head({ world }: Stocked): Promise<number> {
  return (await world.call('GET', '/api/bench/entries?after=0&limit=1')).body.head;
}

type Ids = Stocked['ids'];

/** Every place in a payload that refers to something of the farm, by kind: which id, and how to put another there. */
const REFERENCES: readonly (readonly [EntryKind, keyof Ids, (ids: Ids) => unknown])[] = (() => {
  const newLot = (ids: Ids) => ({
    lotId: randomUUID(),
    strainId: ids.strain,
    sizeId: ids.size,
    jars: [{ id: randomUUID() }],
  });
  const culture = (ids: Ids) => ({ ...newLot(ids), container: 'jar', carrier: 'grain' });
  const draws = (ids: Ids) => [{ jarId: ids.jar, amount: { by: 'grams', massG: 1 } }];
  const inoculated = (ids: Ids) => ({
    ...newLot(ids),
    mothers: draws(ids),
    grainBatchId: ids.batch,
    cycleId: ids.cycle,
  });
  const placed = (ids: Ids) => ({ ...culture(ids), jars: [{ id: randomUUID(), place: { shelfId: ids.shelf } }] });
  const jars = (ids: Ids) => ({ jarIds: [ids.jar] });
  return [
    ['grain_soaked', 'batch', (ids) => ({ grainBatchId: ids.batch })],
    ['grain_simmered', 'batch', (ids) => ({ grainBatchId: ids.batch })],
    ['grain_drained', 'batch', (ids) => ({ grainBatchId: ids.batch })],
    ['grain_rested', 'batch', (ids) => ({ grainBatchId: ids.batch })],
    ['grain_filled', 'size', (ids) => ({ grainBatchId: ids.batch, fills: [{ sizeId: ids.size, count: 1 }] })],
    [
      'cycle_started',
      'size',
      (ids) => ({ cycleId: randomUUID(), method: 'pressure', loads: [{ sizeId: ids.size, count: 1 }] }),
    ],
    [
      'cycle_started',
      'batch',
      (ids) => ({
        cycleId: randomUUID(),
        method: 'pressure',
        loads: [{ grainBatchId: ids.batch, sizeId: ids.size, count: 1 }],
      }),
    ],
    ['cycle_held', 'cycle', (ids) => ({ cycleId: ids.cycle })],
    ['cycle_cooled', 'cycle', (ids) => ({ cycleId: ids.cycle })],
    ['culture_made', 'strain', culture],
    ['culture_made', 'size', culture],
    ['culture_made', 'jar', (ids) => ({ ...culture(ids), fromJarId: ids.jar })],
    ['culture_made', 'shelf', placed],
    ['received', 'strain', (ids) => ({ ...culture(ids), generation: 1 })],
    ['inoculated', 'strain', inoculated],
    ['inoculated', 'jar', inoculated],
    ['inoculated', 'batch', inoculated],
    ['inoculated', 'cycle', inoculated],
    [
      'blanks_kept',
      'cycle',
      (ids) => ({ lotId: randomUUID(), sizeId: ids.size, cycleId: ids.cycle, jars: [{ id: randomUUID() }] }),
    ],
    ['checked', 'jar', (ids) => ({ jars: [{ jarId: ids.jar, colonisedShare: 1 }] })],
    ['contamination_found', 'jar', (ids) => ({ ...jars(ids), finding: 'yeast', sure: false })],
    ['shaken', 'jar', jars],
    ['moved', 'jar', (ids) => ({ moves: [{ jarId: ids.jar, place: { shelfId: ids.shelf } }] })],
    ['moved', 'shelf', (ids) => ({ moves: [{ jarId: ids.jar, place: { shelfId: ids.shelf } }] })],
    ['chilled', 'jar', jars],
    ['chilled', 'shelf', (ids) => ({ ...jars(ids), place: { shelfId: ids.shelf } })],
    ['warmed', 'jar', jars],
    ['mother_kept', 'jar', jars],
    ['mother_released', 'jar', jars],
    ['opened', 'jar', jars],
    ['drawn_for_jars', 'lot', (ids) => ({ lotId: ids.lot, draws: draws(ids) })],
    ['drawn_for_jars', 'jar', (ids) => ({ lotId: ids.lot, draws: draws(ids) })],
    ['drawn_for_run', 'run', (ids) => ({ runId: ids.run, draws: draws(ids) })],
    ['drawn_for_run', 'jar', (ids) => ({ runId: ids.run, draws: draws(ids) })],
    ['washed', 'size', (ids) => ({ sizeId: ids.size, count: 1 })],
    ['containers_counted', 'size', (ids) => ({ sizeId: ids.size, cleanEmpty: 1 })],
    ['regrowth_tested', 'jar', (ids) => ({ jarId: ids.jar, days: 3, regrew: true })],
    ['harvested', 'run', (ids) => ({ runId: ids.run, flush: 1, massG: 100 })],
    ['noted', 'jar', (ids) => ({ text: 'x', jarIds: [ids.jar] })],
    ['noted', 'lot', (ids) => ({ text: 'x', lotId: ids.lot })],
    ['cycle_ended', 'cycle', (ids) => ({ cycleId: ids.cycle })],
    ['emptied', 'jar', jars],
    ['broken', 'jar', jars],
    ['discarded', 'jar', (ids) => ({ ...jars(ids), reason: 'surplus' })],
    ['corrected', 'entry', (ids) => ({ entryId: ids.entry, reason: 'slip' })],
  ];
})();

describe('ids of another farm in an entry', () => {
  it.each(REFERENCES)(
    '%s: a stranger’s %s is answered as one that never was, and an own one is applied',
    async (kind, name, payloadFor) => {
      const fresh = await restocked(own);
      const before = await benchState(api.database, stranger.world.growerId);
      const tryWith = async (id: string) => {
        const payload = payloadFor({ ...fresh.ids, [name]: id }) as Record<string, unknown>;
        const sent = { ...entry('noted', { text: '' }), kind, payload };
        const answer = await post(fresh.world, [sent]);
        expect(JSON.stringify(answer.body)).not.toContain(stranger.world.canary);
        const { position: _position, id: _id, ...rest } = answer.body.answers[0];
        return JSON.parse(JSON.stringify(rest).replaceAll(id, 'ID'));
      };
      const withStrangers = await tryWith(stranger.ids[name]);
      expect(withStrangers).toMatchObject({ outcome: 'refused', reason: expect.stringMatching(/^unknown-/) });
      expect(withStrangers).toEqual(await tryWith(randomUUID()));
      expect(await benchState(api.database, stranger.world.growerId)).toEqual(before);
      expect(await tryWith(fresh.ids[name])).toMatchObject({ outcome: 'applied' });
    },
  );
});
