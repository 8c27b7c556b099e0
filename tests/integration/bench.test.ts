/** The bench log on a real database: what tablets may rely on. */
import { randomUUID } from 'node:crypto';
import type { BenchAnswer, BenchEntryInput } from '@jarfold/contracts';
import { BenchService, SERVER_DEVICE } from '@jarfold/server';
import type { GrowerTx } from '@jarfold/server/platform';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { type BenchFarm, benchState, makeBenchFarm, Tablet } from '../support/bench-farm.js';
import { makeStaff } from '../support/growers.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

let database: TestDatabase;
let nowMs = Date.UTC(2026, 10, 25, 9);
const clock = { now: () => new Date(nowMs) };

beforeAll(async () => {
  database = await createTestDatabase({ maxConnections: 12 });
});
afterAll(() => database.close());

const newFarm = () => makeBenchFarm(database, clock);
const newService = ({ growerDb }: Pick<TestDatabase, 'growerDb'>) =>
  new BenchService(growerDb, clock, { next: () => randomUUID() });
const outcomes = (answers: readonly BenchAnswer[]) => answers.map(({ outcome }) => outcome);
const reasonOf = (answer: BenchAnswer) => (answer.outcome === 'refused' ? answer.reason : answer.outcome);

async function jar(farm: BenchFarm, id: string) {
  const row = await database.growerDb.read(farm.ctx, (tx) =>
    tx.jar.findUnique({ where: { growerId_id: { growerId: farm.ctx.growerId, id } } }),
  );
  if (!row) throw new Error(`no jar ${id}`);
  return { ...row, leftG: Number(row.leftG), drawnG: Number(row.drawnG), madeG: Number(row.madeG) };
}

async function countOf(table: string, farm: BenchFarm): Promise<number> {
  const [row] = await database.sql<{ n: string }>(`SELECT count(*) AS n FROM ${table} WHERE grower_id = $1`, [
    farm.ctx.growerId,
  ]);
  return Number(row?.n);
}

describe('recording', () => {
  it('an entry is applied, its effect stored, and the answer carries what the server settled', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    const [mother] = (await tablet.receive(1)) as [string];
    const answer = await tablet.log('inoculated', tablet.inoculated(mother, 60, [randomUUID(), randomUUID()]));
    expect(answer).toMatchObject({
      outcome: 'applied',
      repeated: false,
      position: 2,
      facts: { code: 'OY3-26W48-2', generation: 2, usualMassG: 600 },
    });
    expect(await jar(farm, mother)).toMatchObject({ leftG: 540, drawnG: 60, state: 'opened', code: 'OY3-26W48-1/01' });
    expect(await countOf('jar_draw', farm)).toBe(1);
  });

  it('sent again, the first answer is repeated and nothing happens twice', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    const [mother] = (await tablet.receive(1)) as [string];
    const draw = tablet.write('drawn_for_run', tablet.drawn(mother, 100));
    const tooMuch = tablet.write('drawn_for_run', tablet.drawn(mother, 501));
    const first = await tablet.send(draw, tooMuch);
    const again = await tablet.send(draw, tooMuch);
    expect(outcomes(first)).toEqual(['applied', 'refused']);
    expect(again).toEqual(first.map((answer) => ({ ...answer, repeated: true })));
    expect((await jar(farm, mother)).leftG).toBe(500);
    expect(await countOf('bench_entry', farm)).toBe(3);
  });

  it('one bad entry of each sort is refused with its reason and blocks nothing behind it', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    const [mother] = (await tablet.receive(1)) as [string];
    const nonsense: BenchEntryInput = { ...tablet.write('noted', { text: 'x' }), kind: 'teleported' };
    const negative = { ...tablet.write('drawn_for_run', tablet.drawn(mother, -5)) };
    const unstorable = { ...tablet.write('noted', { text: 'a\u0000b' }) };
    const answers = await tablet
      .send(
        tablet.write('shaken', { jarIds: [randomUUID()] }),
        nonsense,
        negative,
        unstorable,
        tablet.write('drawn_for_run', tablet.drawn(mother, 601)),
        tablet.write('drawn_for_run', tablet.drawn(mother, 100)),
      )
      .catch((error) => error);
    // The writes above ran in the order of the arguments; the batch is told in the tablet's own order.
    const byReason = (answers as BenchAnswer[]).map(reasonOf).sort();
    expect(byReason).toEqual(['applied', 'draw-below-zero', 'malformed', 'malformed', 'malformed', 'unknown-jar']);
    expect((await jar(farm, mother)).leftG).toBe(500);
    const refused = (answers as BenchAnswer[]).filter(({ outcome }) => outcome === 'refused');
    for (const answer of refused)
      expect(answer).toMatchObject({ message: expect.stringMatching(/\.( \(and \d+ more\))?$/) });
    expect(refused.find((answer) => answer.id === negative.id)).toMatchObject({
      obstacles: [{ code: 'malformed', details: { pointer: '/draws/0/amount/massG' } }],
    });
    expect(await farm.bench.verifyChain(farm.ctx)).toMatchObject({ intact: true, checked: 7 });
  });

  it('the same id with another content is refused as a whole request, naming the entry, and nothing is kept', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    const [mother] = (await tablet.receive(1)) as [string];
    const draw = tablet.write('drawn_for_run', tablet.drawn(mother, 100));
    await tablet.send(draw);
    const other = { ...draw, payload: tablet.drawn(mother, 101) as never };
    const fresh = tablet.write('drawn_for_run', tablet.drawn(mother, 1));
    await expect(tablet.send(fresh, other)).rejects.toMatchObject({
      code: 'entry-differs',
      message: expect.stringContaining(draw.id),
      details: { entry: { entryId: draw.id }, errors: [{ pointer: '/entries/1' }] },
    });
    expect((await jar(farm, mother)).leftG).toBe(500);
    expect(await countOf('bench_entry', farm)).toBe(2);
  });

  it('a gap is answered with where to send from, a spent number as a fault of the device', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    const first = tablet.write('noted', { text: 'one' });
    const second = tablet.write('noted', { text: 'two' });
    const third = tablet.write('noted', { text: 'three' });
    expect(await tablet.send(first, third)).toMatchObject([
      { outcome: 'applied', sequence: 1 },
      { outcome: 'gap', sequence: 3, sendFrom: 2 },
    ]);
    expect(outcomes(await tablet.send(second, third))).toEqual(['applied', 'applied']);
    await expect(tablet.send({ ...first, id: randomUUID() })).rejects.toMatchObject({ code: 'sequence-spent' });
    expect(await countOf('bench_entry', farm)).toBe(3);
  });

  it('unsent work may be carried to another tablet: recorded once, whoever sends it', async () => {
    const farm = await newFarm();
    const lost = new Tablet(farm, clock);
    const [mother] = (await lost.receive(1)) as [string];
    const draw = lost.write('drawn_for_run', lost.drawn(mother, 100));
    const other = new Tablet(farm, clock);
    other.sequence = 1;
    const carried = { ...draw, sequence: 1 };
    expect(await other.send(carried)).toMatchObject([{ outcome: 'applied', repeated: false }]);
    expect(await lost.send(draw)).toMatchObject([{ outcome: 'applied', repeated: true, sequence: 2 }]);
    expect(outcomes([await lost.log('noted', { text: 'and on it goes' })])).toEqual(['applied']);
    expect((await jar(farm, mother)).leftG).toBe(500);
  });

  it('what the database itself refuses is stored as refused, and the entries around it are applied', async () => {
    const own = await createTestDatabase();
    try {
      await own.sql(`ALTER TABLE lot ADD CONSTRAINT no_poison CHECK (supplier <> 'poison')`);
      const farm = await makeBenchFarm(own, clock);
      const tablet = new Tablet(farm, clock);
      const [before, poison, after] = [[randomUUID()], [randomUUID()], [randomUUID()]];
      const answers = await tablet.send(
        tablet.write('received', tablet.received(before)),
        tablet.write('received', { ...tablet.received(poison), supplier: 'poison' }),
        tablet.write('received', tablet.received(after)),
      );
      expect(answers.map(reasonOf)).toEqual(['applied', 'not-storable', 'applied']);
      const jars = await own.sql<{ id: string }>('SELECT id FROM jar WHERE grower_id = $1', [farm.ctx.growerId]);
      expect(jars.map(({ id }) => id).sort()).toEqual([...before, ...after].sort());
      expect(await farm.bench.verifyChain(farm.ctx)).toMatchObject({ intact: true, checked: 3 });
    } finally {
      await own.close();
    }
  });

  it('another farm’s jar is answered exactly as a jar that never was', async () => {
    const farm = await newFarm();
    const stranger = await newFarm();
    const [theirs] = (await new Tablet(stranger, clock).receive(1)) as [string];
    const before = await benchState(database, stranger.ctx.growerId);
    const tablet = new Tablet(farm, clock);
    const random = randomUUID();
    const [foreign, unknown] = await tablet.send(
      tablet.write('drawn_for_run', tablet.drawn(theirs, 10)),
      tablet.write('drawn_for_run', tablet.drawn(random, 10)),
    );
    const blind = (answer: BenchAnswer | undefined, id: string) =>
      JSON.stringify({ ...answer, id: '', sequence: 0, position: 0 }).replaceAll(id, 'ID');
    expect(reasonOf(foreign!)).toBe('unknown-jar');
    expect(blind(foreign, theirs)).toBe(blind(unknown, random));
    expect(await benchState(database, stranger.ctx.growerId)).toEqual(before);
  });

  it('two farms may use the same ids, and neither touches the other', async () => {
    const [one, two] = [await newFarm(), await newFarm()];
    const [first, second] = [new Tablet(one, clock), new Tablet(two, clock)];
    const id = randomUUID();
    const entryId = randomUUID();
    await first.log('received', first.received([id]), entryId);
    await second.log('received', second.received([id]), entryId);
    await first.log('discarded', { jarIds: [id], reason: 'surplus' });
    expect((await jar(one, id)).state).toBe('discarded');
    expect((await jar(two, id)).state).toBe('ripe');
  });

  it('a revoked device is turned away', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    await tablet.log('noted', { text: 'hello' });
    await database.sql('UPDATE device SET revoked_at = now() WHERE id = $1', [tablet.id]);
    await expect(tablet.log('noted', { text: 'still here' })).rejects.toMatchObject({ code: 'device-revoked' });
    const batch = { ...tablet.batch([tablet.write('noted', { text: 'as the server' })]), deviceId: SERVER_DEVICE.id };
    await expect(farm.bench.record(farm.ctx, batch)).rejects.toMatchObject({ code: 'device-revoked' });
  });
});

describe('who and when', () => {
  it('people stand in the log as opaque ids: no name and no address is in it', async () => {
    const farm = await newFarm();
    await database.sql(`UPDATE staff_name SET name = 'Ottilie Quastenflosser' WHERE grower_id = $1`, [
      farm.ctx.growerId,
    ]);
    const tablet = new Tablet(farm, clock);
    const [mother] = (await tablet.receive(1)) as [string];
    await tablet.log('drawn_for_run', tablet.drawn(mother, 10));
    for (const table of ['bench_entry', 'lot', 'jar', 'jar_draw', 'device']) {
      const rows = await database.sql<{ row: string }>(`SELECT t::text AS row FROM ${table} t WHERE grower_id = $1`, [
        farm.ctx.growerId,
      ]);
      expect(rows.map(({ row }) => row).join()).not.toMatch(/Ottilie|Quastenflosser/);
    }
    const { entries } = await farm.bench.pull(farm.ctx, { after: 0, limit: 10 });
    expect(new Set(entries.map(({ staffId }) => staffId))).toEqual(new Set([farm.ctx.staffId]));
  });

  it('on a shared tablet an entry names who did it; somebody unknown is refused', async () => {
    const farm = await newFarm();
    const hand = await makeStaff(database, farm.ctx.growerId, 'hand');
    const tablet = new Tablet(farm, clock);
    const byHand = { ...tablet.write('noted', { text: 'by a hand' }), staffId: hand.staffId! };
    const byNobody = { ...tablet.write('noted', { text: 'by nobody' }), staffId: randomUUID() };
    expect((await tablet.send(byHand, byNobody)).map(reasonOf)).toEqual(['applied', 'unknown-staff']);
    const { entries } = await farm.bench.pull(farm.ctx, { after: 0, limit: 10 });
    expect(entries[0]?.staffId).toBe(hand.staffId);
  });

  it.each([
    ['a day slow', -86_400_000],
    ['three hours fast', 10_800_000],
    ['in 1970', -Date.UTC(2026, 10, 25, 8)],
  ])('a tablet clock %s is put right and warned about; the order is the tablet’s own', async (_name, wrongBy) => {
    const farm = await newFarm();
    const wrong = { now: () => new Date(nowMs + wrongBy) };
    const tablet = new Tablet(farm, wrong);
    const answers = await tablet.send(tablet.write('noted', { text: 'one' }), tablet.write('noted', { text: 'two' }));
    for (const answer of answers) {
      expect(answer).toMatchObject({
        outcome: 'applied',
        warnings: [{ code: 'device-clock-wrong', details: { offsetMs: -wrongBy } }],
      });
    }
    const { entries } = await farm.bench.pull(farm.ctx, { after: 0, limit: 10 });
    expect(entries.map(({ effectiveAt }) => effectiveAt)).toEqual([
      clock.now().toISOString(),
      clock.now().toISOString(),
    ]);
    expect(entries[0]?.happenedAt).toBe(wrong.now().toISOString());
  });

  it('the day is the farm’s own: an entry late in the evening UTC is tomorrow’s in Vienna', async () => {
    const farm = await newFarm();
    const late = { now: () => new Date('2026-11-24T23:30:00.000Z') };
    const tablet = new Tablet(farm, late);
    await tablet.log('noted', { text: 'night shift' });
    // The tablet's clock is wrong by the offset it shows, so its word is put right first: send at the same moment.
    nowMs = late.now().getTime();
    const right = new Tablet(farm, late);
    await right.log('noted', { text: 'night shift' });
    nowMs = Date.UTC(2026, 10, 25, 9);
    const { entries } = await farm.bench.pull(farm.ctx, { after: 1, limit: 10 });
    expect(entries[0]?.effectiveDay).toBe('2026-11-25');
  });
});

describe('many at once', () => {
  /** The farm as ten API processes see it: within one, requests take turns; between them only the database decides. */
  function processes(farm: BenchFarm): BenchFarm[] {
    return Array.from({ length: 10 }, () => ({ ...farm, bench: newService(database) }));
  }

  it('50 requests that race for the last grams of a jar draw them once, and never below zero', async () => {
    const farm = await newFarm();
    const [mother] = (await new Tablet(farm, clock).receive(1)) as [string];
    await new Tablet(farm, clock).log('drawn_for_run', new Tablet(farm, clock).drawn(mother, 590));
    const services = processes(farm);
    const racers = Array.from({ length: 50 }, (_, n) => new Tablet(services[n % 10]!, clock));
    const answers = await Promise.all(racers.map((tablet) => tablet.log('drawn_for_run', tablet.drawn(mother, 10))));
    expect(answers.filter(({ outcome }) => outcome === 'applied')).toHaveLength(1);
    expect(new Set(answers.filter(({ outcome }) => outcome === 'refused').map(reasonOf))).toEqual(
      new Set(['jar-gone']),
    );
    expect(await jar(farm, mother)).toMatchObject({ leftG: 0, drawnG: 600, state: 'emptied' });
    const [sum] = await database.sql<{ g: string }>('SELECT sum(mass_g) AS g FROM jar_draw WHERE jar_id = $1', [
      mother,
    ]);
    expect(Number(sum?.g)).toBe(600);
  });

  it('requests of one transaction go on from one another: the next of a device, a correction, a copy', async () => {
    const farm = await newFarm();
    const [one, other, carrier] = [new Tablet(farm, clock), new Tablet(farm, clock), new Tablet(farm, clock)];
    const [mother] = (await other.receive(1)) as [string];
    const draw = one.write('drawn_for_run', one.drawn(mother, 400));
    const second = one.write('noted', { text: 'the next of the same device' });
    const tooMuch = other.write('drawn_for_run', other.drawn(mother, 300));
    const takenBack = other.write('corrected', { entryId: draw.id, reason: 'another jar' });
    const fits = other.write('drawn_for_run', other.drawn(mother, 300));
    const record = (tablet: Tablet, ...entries: BenchEntryInput[]) =>
      farm.bench.record(farm.ctx, tablet.batch(entries));
    const answers = await Promise.all([
      record(one, draw),
      record(one, second),
      record(other, tooMuch, takenBack, fits),
      record(carrier, { ...draw, sequence: 1 }),
    ]);
    const [drawn, noted, corrected, copied] = answers.map((answer) => answer.answers) as BenchAnswer[][];
    expect([drawn, noted, corrected].map((of) => outcomes(of ?? []))).toEqual([
      ['applied'],
      ['applied'],
      ['refused', 'applied', 'applied'],
    ]);
    expect(copied).toEqual([{ ...drawn?.[0], repeated: true }]);
    expect(answers.map(({ lastSequence, position }) => [lastSequence, position])).toEqual([
      ...[
        [1, 2],
        [2, 3],
        [4, 6],
        [1, 6],
      ],
    ]);
    expect(await jar(farm, mother)).toMatchObject({ leftG: 300, drawnG: 300 });
    const made = await database.sql<{ made_in: string }>(
      'SELECT DISTINCT xmin::text AS made_in FROM bench_entry WHERE grower_id = $1 AND position > 1',
      [farm.ctx.growerId],
    );
    expect(made).toHaveLength(1);
    expect(await farm.bench.verifyChain(farm.ctx)).toMatchObject({ intact: true, checked: 6 });
    expect(await record(one, one.write('noted', { text: 'later' }))).toMatchObject({ lastSequence: 3, position: 7 });
  });

  it('50 writers and a puller: the pulls together are the log, without a gap and without a repeat', async () => {
    const farm = await newFarm();
    const services = processes(farm);
    const seen: number[] = [];
    let writing = true;
    const puller = (async () => {
      for (let after = 0, more = true; more; ) {
        more = writing; // asked before the pull: the last pull begins after the last write
        const { entries, next } = await farm.bench.pull(farm.ctx, { after, limit: 7 });
        more ||= entries.length > 0;
        seen.push(...entries.map(({ position }) => position));
        after = next;
      }
    })();
    const writers = Array.from({ length: 50 }, async (_, n) => {
      const tablet = new Tablet(services[n % 10]!, clock);
      for (let i = 0; i < 4; i++) {
        await new Promise((resolve) => setTimeout(resolve, (n * 7 + i * 13) % 40));
        await tablet.send(
          tablet.write('noted', { text: `${n}.${i}` }),
          tablet.write('washed', { sizeId: farm.sizeId, count: 1 }),
        );
      }
    });
    await Promise.all(writers);
    writing = false;
    await puller;
    expect(seen).toEqual(Array.from({ length: 400 }, (_, index) => index + 1));
    expect(await countOf('bench_entry', farm)).toBe(400);
    expect(await farm.bench.verifyChain(farm.ctx)).toMatchObject({ intact: true, checked: 400 });
  });
});

describe('nothing half done', () => {
  it('cut off after any statement, a request leaves nothing; sent again, it is there once', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    const [mother] = (await tablet.receive(1)) as [string];
    const before = await everything(farm);
    const batch = tablet.batch([
      tablet.write('inoculated', tablet.inoculated(mother, 60, [randomUUID(), randomUUID()])),
      tablet.write('drawn_for_run', tablet.drawn(mother, 40)),
    ]);
    let statements = 0;
    for (let cutAt = 1; ; cutAt++) {
      const cut = cuttingDb(farm, cutAt);
      const survived = await cut.record(batch).then(
        () => true,
        (error: Error) => {
          if (error.message !== 'cut off') throw error;
          return false;
        },
      );
      if (survived) break;
      statements = cutAt;
      expect(await everything(farm)).toEqual(before);
    }
    expect(statements).toBeGreaterThan(10);
    expect((await farm.bench.record(farm.ctx, batch)).answers).toMatchObject([{ repeated: true }, { repeated: true }]);
    expect(await jar(farm, mother)).toMatchObject({ leftG: 500, drawnG: 100 });
  });

  async function everything(farm: BenchFarm): Promise<unknown> {
    const rows = await Promise.all(
      ['bench_entry', 'bench_entry_thing', 'bench_counter', 'device', 'outbox'].map((table) =>
        database.sql(`SELECT t::text AS row FROM ${table} t WHERE grower_id = $1 ORDER BY 1`, [farm.ctx.growerId]),
      ),
    );
    return { ...(await benchState(database, farm.ctx.growerId)), rows };
  }

  /** A bench service whose transaction breaks at its n-th statement, as when the process is killed there. */
  function cuttingDb(farm: BenchFarm, cutAt: number) {
    let count = 0;
    const step = () => {
      count += 1;
      if (count === cutAt) throw new Error('cut off');
    };
    const wrap = <T extends object>(target: T): T =>
      new Proxy(target, {
        get(object, name) {
          const value = Reflect.get(object, name);
          if (typeof value === 'function') {
            return (...args: unknown[]) => {
              step();
              return value.apply(object, args);
            };
          }
          return typeof value === 'object' && value !== null ? wrap(value) : value;
        },
      });
    const growerDb = {
      run: <T>(ctx: never, work: (tx: GrowerTx) => Promise<T>) => database.growerDb.run(ctx, (tx) => work(wrap(tx))),
    };
    const service = newService({ growerDb: growerDb as unknown as TestDatabase['growerDb'] });
    return { record: (batch: Parameters<BenchFarm['bench']['record']>[1]) => service.record(farm.ctx, batch) };
  }

  it('a failure of the caller takes appended entries with it', async () => {
    const farm = await newFarm();
    const append = (text: string, fail: boolean) =>
      database.growerDb.run(farm.ctx, async (tx) => {
        await farm.bench.append(tx, farm.ctx, [{ kind: 'noted', payload: { text } }]);
        if (fail) throw new Error('changed my mind');
      });
    await expect(append('never', true)).rejects.toThrow('changed my mind');
    await append('kept', false);
    const { entries } = await farm.bench.pull(farm.ctx, { after: 0, limit: 10 });
    expect(entries.map(({ payload }) => payload.text)).toEqual(['kept']);
    const impossible = database.growerDb.run(farm.ctx, (tx) =>
      farm.bench.append(tx, farm.ctx, [{ kind: 'shaken', payload: { jarIds: [randomUUID()] } }]),
    );
    await expect(impossible).rejects.toMatchObject({ code: 'rule-refused' });
    expect(await countOf('bench_entry', farm)).toBe(1);
  });
});

describe('replanning', () => {
  it('is asked for in the same transaction by entries that change stock, and only by them', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    await tablet.log('noted', { text: 'nothing changes' });
    await tablet.log('shaken', { jarIds: [randomUUID()] });
    expect(await countOf('outbox', farm)).toBe(0);
    await tablet.receive(1);
    const rows = await database.sql<{ payload: unknown }>('SELECT payload FROM outbox WHERE grower_id = $1', [
      farm.ctx.growerId,
    ]);
    expect(rows.map(({ payload }) => payload)).toEqual([
      { version: 1, growerId: farm.ctx.growerId, reason: 'bench-entries' },
    ]);
  });
});
