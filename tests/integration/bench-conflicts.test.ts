/** Work the rules refused because somebody else was first: what the lead sees of it, and how it is settled. */
import { randomUUID } from 'node:crypto';
import { ConflictsService } from '@jarfold/server';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { type BenchFarm, benchState, makeBenchFarm, Tablet } from '../support/bench-farm.js';
import { SteppingClock } from '../support/stepping-clock.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

const clock = new SteppingClock('2026-11-25T08:00:00Z');

let database: TestDatabase;
let farm: BenchFarm;
let tablet: Tablet;
beforeAll(async () => {
  database = await createTestDatabase();
  farm = await makeBenchFarm(database, clock);
  tablet = new Tablet(farm, clock);
});
afterAll(() => database.close());

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
      const later = { now: () => new Date(clock.nowMs + ms) };
      return new ConflictsService(database.growerDb, farm.bench, { next: () => randomUUID() }, later);
    };
    const listed = async (ms = 0) => (await laterBy(ms).settledLately(farm.ctx)).items.map(({ entry }) => entry.id);
    const [first, second] = [(await clash()).refusedId, (await clash()).refusedId];
    const before = await listed();
    await conflicts.settle(farm.ctx, first, { way: 'drop' });
    const firstAtMs = clock.nowMs;
    await conflicts.settle(farm.ctx, second, { way: 'take_what_is_left' });
    expect(await listed()).toEqual([second, first, ...before]);
    expect((await conflicts.settledLately(farm.ctx)).items.slice(0, 2)).toMatchObject([
      { entry: { outcome: 'refused' }, way: 'take_what_is_left', purpose: await runName() },
      { way: 'drop', purpose: await runName() },
    ]);
    const weekAfterFirst = firstAtMs + 7 * 24 * 3_600_000 - clock.nowMs;
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
