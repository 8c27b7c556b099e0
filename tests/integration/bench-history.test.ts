/** Corrections, rebuilding, importing and the chain, on a real database. */
import { randomUUID } from 'node:crypto';
import type { BenchEntryInput } from '@jarfold/contracts';
import { type PastBatch, recordPast } from '@jarfold/server';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { type BenchFarm, benchState, makeBenchFarm, Tablet } from '../support/bench-farm.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

let database: TestDatabase;
const clock = { now: () => new Date(Date.UTC(2026, 10, 25, 9)) };

beforeAll(async () => {
  database = await createTestDatabase();
});
afterAll(() => database.close());

const bringIn = (farm: BenchFarm, past: PastBatch) =>
  database.growerDb.run(farm.ctx, async (tx) => {
    const ctx = { ...farm.ctx, staffId: farm.ctx.staffId! };
    return (await recordPast(tx, ctx, past, clock.now())).append();
  });
const newFarm = () => makeBenchFarm(database, clock);
const stateOf = (farm: BenchFarm) => benchState(database, farm.ctx.growerId);

/** A bench week in small: preparation, mothers, a lot, checks, draws, a loss and two corrections. */
async function busyWeek(farm: BenchFarm, tablet: Tablet): Promise<BenchEntryInput[]> {
  const { sizeId, strainId, shelfId, runId } = farm;
  const [batch, cycle, lot, blanks] = [randomUUID(), randomUUID(), randomUUID(), randomUUID()] as [
    string,
    string,
    string,
    string,
  ];
  const mothers = [randomUUID(), randomUUID()] as [string, string];
  const jars = Array.from({ length: 6 }, () => randomUUID());
  const place = (n: number) => ({ shelfId, row: 1, place: n });
  const slip = randomUUID();
  const undo = randomUUID();
  const draw = randomUUID();
  return [
    tablet.write('containers_counted', { sizeId, cleanEmpty: 40 }),
    tablet.write('grain_soaked', { grainBatchId: batch, grain: 'rye', dryGrainG: 4000 }),
    tablet.write('grain_simmered', { grainBatchId: batch, simmerMin: 15 }),
    tablet.write('grain_filled', {
      grainBatchId: batch,
      fills: [{ sizeId, count: 8 }],
      hydratedG: 7100,
      moistureShare: 0.5,
    }),
    tablet.write('cycle_started', {
      cycleId: cycle,
      method: 'pressure',
      loads: [{ grainBatchId: batch, sizeId, count: 8 }],
    }),
    tablet.write('cycle_held', { cycleId: cycle, temperatureC: 121, gaugePressureKpa: 103.4 }),
    tablet.write('cycle_ended', { cycleId: cycle, holdMin: 90 }),
    tablet.write('cycle_cooled', { cycleId: cycle }),
    tablet.write('received', tablet.received(mothers)),
    tablet.write('inoculated', {
      lotId: lot,
      strainId,
      sizeId,
      grainBatchId: batch,
      cycleId: cycle,
      mothers: mothers.map((jarId) => ({ jarId, amount: { by: 'grams' as const, massG: 90.5 } })),
      jars: jars.map((id, index) => ({ id, place: place(index + 1), motherJarId: mothers[index % 2]! })),
    }),
    tablet.write('blanks_kept', { lotId: blanks, sizeId, cycleId: cycle, jars: [{ id: randomUUID() }] }),
    tablet.write('checked', { jars: jars.map((jarId) => ({ jarId, colonisedShare: 0.4, vigour: 'usual' as const })) }),
    tablet.write('shaken', { jarIds: jars }),
    tablet.write('contamination_found', { jarIds: [jars[5]!], finding: 'green_mould', sure: true }),
    tablet.write('discarded', { jarIds: [jars[5]!], reason: 'contaminated' }),
    tablet.write('checked', {
      jars: [
        { jarId: jars[0]!, colonisedShare: 1 },
        { jarId: jars[1]!, ripe: true, netG: 612.3 },
      ],
    }),
    tablet.write('mother_kept', { jarIds: [jars[0]!] }),
    tablet.write('chilled', { jarIds: [jars[1]!], place: place(9) }),
    tablet.write('warmed', { jarIds: [jars[1]!] }),
    tablet.write('drawn_for_run', { runId, draws: [{ jarId: jars[1]!, amount: { by: 'half' } }] }, draw),
    tablet.write('drawn_for_jars', { lotId: lot, draws: [{ jarId: mothers[0], amount: { by: 'all_but_bottom' } }] }),
    tablet.write('moved', { moves: [{ jarId: jars[2]!, place: place(12) }] }),
    tablet.write('broken', { jarIds: [jars[4]!] }, slip),
    tablet.write('corrected', { entryId: slip, reason: 'only the lid' }, undo),
    tablet.write('emptied', { jarIds: [jars[1]!] }),
    tablet.write('regrowth_tested', { jarId: mothers[1], days: 3, regrew: true }),
    tablet.write('harvested', { runId, flush: 1, massG: 2345.6 }),
    tablet.write('washed', { sizeId, count: 3 }),
    tablet.write('noted', { text: 'a busy week', jarIds: [jars[3]!] }),
    tablet.write('corrected', { entryId: draw, reason: 'it was another jar' }),
    tablet.write('corrected', { entryId: undo, reason: 'it did break' }),
    tablet.write('corrected', { entryId: slip, reason: 'no: only the lid after all' }),
  ];
}

describe('corrections', () => {
  it('take back a draw with its grams, and say so in the pull', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    const [mother] = (await tablet.receive(1)) as [string];
    const before = await stateOf(farm);
    const draw = tablet.write('drawn_for_run', tablet.drawn(mother, 100));
    await tablet.send(draw);
    const answer = await tablet.log('corrected', { entryId: draw.id, reason: 'wrong jar' });
    expect(answer.outcome).toBe('applied');
    const { bench_void, ...after } = await stateOf(farm);
    expect(after).toEqual(Object.fromEntries(Object.entries(before).filter(([table]) => table !== 'bench_void')));
    expect(bench_void).toEqual([expect.stringContaining(draw.id)]);
  });

  it('are refused while a later entry stands in the way, and name it', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    const ids = [randomUUID()];
    const received = tablet.write('received', tablet.received(ids));
    const shake = tablet.write('shaken', { jarIds: ids });
    await tablet.send(received, shake);
    const before = await stateOf(farm);
    expect(await tablet.log('corrected', { entryId: received.id, reason: 'never came' })).toMatchObject({
      outcome: 'refused',
      reason: 'later-entry-in-the-way',
      obstacles: [{ details: { entryId: shake.id, kind: 'shaken' } }],
    });
    expect(await stateOf(farm)).toEqual(before);
    // Both in one request, the later one first: each sees what the one before it did.
    const answers = await tablet.send(
      tablet.write('corrected', { entryId: shake.id, reason: 'never came' }),
      tablet.write('corrected', { entryId: received.id, reason: 'never came' }),
    );
    expect(answers.map(({ outcome }) => outcome)).toEqual(['applied', 'applied']);
    expect((await stateOf(farm)).jar).toEqual([]);
  });

  it('of unknown, refused and corrected entries are refused', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    const bad = tablet.write('shaken', { jarIds: [randomUUID()] });
    const note = tablet.write('noted', { text: 'tied to nothing' });
    await tablet.send(bad, note);
    const correct = (entryId: string) => tablet.write('corrected', { entryId, reason: 'try' });
    const answers = await tablet.send(correct(randomUUID()), correct(bad.id), correct(note.id), correct(note.id));
    expect(answers.map((answer) => (answer.outcome === 'refused' ? answer.reason : answer.outcome))).toEqual([
      'unknown-entry',
      'entry-was-refused',
      'applied',
      'already-corrected',
    ]);
    expect(await tablet.log('corrected', { entryId: note.id, reason: 'a later request' })).toMatchObject({
      reason: 'already-corrected',
    });
  });

  it('made and taken back within one request leave only the log', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    const [mother] = (await tablet.receive(1)) as [string];
    const before = await stateOf(farm);
    const inoculation = tablet.write('inoculated', tablet.inoculated(mother, 60, [randomUUID()]));
    const undo = tablet.write('corrected', { entryId: inoculation.id, reason: 'too early' });
    const answers = await tablet.send(inoculation, undo);
    expect(answers.map(({ outcome }) => outcome)).toEqual(['applied', 'applied']);
    const { bench_void: _void, ...after } = await stateOf(farm);
    expect({ ...after, bench_void: [] }).toEqual(before);
    const redo = tablet.write('corrected', { entryId: undo.id, reason: 'it was right' });
    expect(await tablet.send(redo)).toMatchObject([{ outcome: 'applied' }]);
    expect((await stateOf(farm)).jar).toHaveLength(2);
    expect((await stateOf(farm)).bench_void).toEqual([expect.stringContaining(undo.id)]);
  });
});

describe('one state, however it came about', () => {
  it('a week entry by entry, in one request, imported, and rebuilt gives the same rows', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    const entries = await busyWeek(farm, tablet);
    for (const entry of entries) expect(await tablet.send(entry)).toMatchObject([{ outcome: 'applied' }]);
    const stepByStep = await stateOf(farm);
    expect(stepByStep.jar).toHaveLength(9);

    const together = await twin(farm);
    const answers = (await together.bench.record(together.ctx, tablet.batch(entries))).answers;
    expect(answers.every(({ outcome }) => outcome === 'applied')).toBe(true);
    expect(await stateOf(together)).toEqual(stepByStep);

    const imported = await twin(farm);
    const history = {
      device: { id: tablet.id, name: 'Records' },
      entries: entries.map(({ sequence: _, ...rest }) => rest),
    };
    expect(await bringIn(imported, history)).toMatchObject({ firstPosition: 1, lastPosition: entries.length });
    expect(await stateOf(imported)).toEqual(stepByStep);
    const deviceStands = () =>
      database.sql('SELECT last_seq, last_effective_at, last_seen_at FROM device WHERE grower_id = $1 AND id = $2', [
        imported.ctx.growerId,
        tablet.id,
      ]);
    const device = await deviceStands();
    expect(device).toMatchObject([{ last_seq: String(entries.length) }]);
    expect(await bringIn(imported, history)).toMatchObject({ lastPosition: entries.length });
    expect(await deviceStands()).toEqual(device);
    expect(await stateOf(imported)).toEqual(stepByStep);

    for (const each of [farm, together, imported]) {
      await each.bench.rebuildProjections(each.ctx);
      expect(await stateOf(each)).toEqual(stepByStep);
      expect(await each.bench.verifyChain(each.ctx)).toMatchObject({ intact: true, checked: entries.length });
    }
  });

  it('a rebuild repairs rows that were changed, lost or invented behind the log’s back', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    await tablet.send(...(await busyWeek(farm, tablet)));
    const right = await stateOf(farm);
    const { growerId } = farm.ctx;
    await database.sql('DELETE FROM jar_draw WHERE grower_id = $1', [growerId]);
    await database.sql('DELETE FROM bench_void WHERE grower_id = $1', [growerId]);
    await database.sql(`UPDATE jar SET state = 'broken', shakes = 7 WHERE grower_id = $1`, [growerId]);
    await database.sql(
      `INSERT INTO jar (grower_id, id, code, lot_id, serial, strain_id, generation, size_id, state, made_on, made_at, made_g, left_g)
       SELECT grower_id, gen_random_uuid(), 'GHOST/01', id, 99, strain_id, generation, size_id, 'ripe', made_on, now(), 1, 1
       FROM lot WHERE grower_id = $1 AND strain_id IS NOT NULL LIMIT 1`,
      [growerId],
    );
    expect(await stateOf(farm)).not.toEqual(right);
    await farm.bench.rebuildProjections(farm.ctx);
    expect(await stateOf(farm)).toEqual(right);
  });

  it('a past with an entry that the rules refuse says why and keeps nothing', async () => {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    const ids = [randomUUID()];
    const shake = tablet.write('shaken', { jarIds: [randomUUID()] });
    const entries = [tablet.write('received', tablet.received(ids)), shake].map(({ sequence: _, ...rest }) => rest);
    const before = await stateOf(farm);
    await expect(bringIn(farm, { device: { id: randomUUID(), name: 'Records' }, entries })).rejects.toMatchObject({
      code: 'rule-refused',
      details: { reason: 'unknown-jar' },
    });
    expect(await stateOf(farm)).toEqual(before);
    expect(await farm.bench.verifyChain(farm.ctx)).toMatchObject({ intact: true, checked: 0 });
  });

  /** Another grower with the same settings under the same ids, so that states can be compared row by row. */
  async function twin(farm: BenchFarm): Promise<BenchFarm> {
    const other = await newFarm();
    const { growerId } = other.ctx;
    await database.growerDb.run(other.ctx, async (tx) => {
      await tx.$executeRaw`DELETE FROM bulk_run_strain WHERE grower_id = ${growerId}::uuid`;
      const { staffId } = farm.ctx;
      await tx.staff.create({ data: { growerId, id: staffId!, role: 'owner' } });
      const rename = async (table: string, from: string, to: string) =>
        tx.$executeRawUnsafe(
          `UPDATE ${table} SET id = $1::uuid WHERE grower_id = $2::uuid AND id = $3::uuid`,
          to,
          growerId,
          from,
        );
      await rename('strain', other.strainId, farm.strainId);
      await rename('container_size', other.sizeId, farm.sizeId);
      await rename('shelf', other.shelfId, farm.shelfId);
      await rename('bulk_run', other.runId, farm.runId);
      await tx.bulkRunStrain.create({ data: { growerId, runId: farm.runId, rank: 1, strainId: farm.strainId } });
    });
    return { ...other, ...farm, ctx: { ...farm.ctx, growerId }, bench: other.bench };
  }
});

interface Step {
  readonly what: 'draw' | 'inoculate' | 'empty' | 'chill' | 'weigh' | 'correct';
  readonly jar: number;
  readonly massG: number;
  readonly target: number;
}

/** A random entry about the jars so far, legal or not. */
function entryFor(
  tablet: Tablet,
  { what, jar, massG, target }: Step,
  jars: string[],
  sent: readonly BenchEntryInput[],
) {
  const jarId = jars[jar % jars.length]!;
  const earlier = sent[target % Math.max(1, sent.length)];
  switch (what) {
    case 'inoculate': {
      const made = randomUUID();
      jars.push(made);
      return tablet.write('inoculated', tablet.inoculated(jarId, massG, [made]));
    }
    case 'correct':
      return tablet.write('corrected', { entryId: earlier?.id ?? randomUUID(), reason: 'slip' });
    case 'empty':
      return tablet.write('emptied', { jarIds: [jarId] });
    case 'chill':
      return tablet.write('chilled', { jarIds: [jarId] });
    case 'weigh':
      return tablet.write('checked', { jars: [{ jarId, netG: massG }] });
    case 'draw':
      return tablet.write('drawn_for_run', tablet.drawn(jarId, massG));
  }
}

describe('any history, sent in any way', () => {
  it('resends, splits and duplicates leave the state of a rebuild from the log', async () => {
    const step = fc.record({
      what: fc.constantFrom<Step['what'][]>('draw', 'draw', 'draw', 'inoculate', 'empty', 'chill', 'weigh', 'correct'),
      jar: fc.nat(5),
      massG: fc.integer({ min: 1, max: 4000 }).map((tenths) => tenths / 10),
      target: fc.nat(20),
    });
    await fc.assert(
      fc.asyncProperty(
        fc.array(step, { minLength: 5, maxLength: 18 }),
        fc.array(fc.record({ from: fc.nat(18), length: fc.integer({ min: 1, max: 9 }) }), { maxLength: 6 }),
        async (steps, resends) => {
          const farm = await newFarm();
          const tablet = new Tablet(farm, clock);
          const jars = await tablet.receive(3);
          const sent: BenchEntryInput[] = [];
          for (const item of steps) sent.push(entryFor(tablet, item, jars, sent));
          for (const { from, length } of resends) {
            const part = sent.slice(from, from + length);
            if (part.length > 0) await tablet.send(...part);
          }
          const answers = await tablet.send(...sent);
          expect(await tablet.send(...sent)).toEqual(answers.map((answer) => ({ ...answer, repeated: true })));
          const state = await stateOf(farm);
          await farm.bench.rebuildProjections(farm.ctx);
          expect(await stateOf(farm)).toEqual(state);
          const { checked, intact } = await farm.bench.verifyChain(farm.ctx);
          expect({ checked, intact }).toEqual({ checked: sent.length + 1, intact: true });
        },
      ),
      { numRuns: 12 },
    );
  });
});

describe('the chain', () => {
  /** Changes the log as only somebody with the database's own keys could. */
  async function tamper(sql: string, values: readonly unknown[]): Promise<void> {
    await database.sql(`SET session_replication_role = replica; `);
    await database.sql('ALTER TABLE bench_entry DISABLE TRIGGER ALL');
    await database.sql('ALTER TABLE bench_entry_thing DISABLE TRIGGER ALL');
    await database.sql(sql, values);
    await database.sql('ALTER TABLE bench_entry ENABLE TRIGGER ALL');
    await database.sql('ALTER TABLE bench_entry_thing ENABLE TRIGGER ALL');
    await database.sql(`SET session_replication_role = origin`);
  }

  async function farmWithLog(): Promise<BenchFarm> {
    const farm = await newFarm();
    const tablet = new Tablet(farm, clock);
    await tablet.send(...['one', 'two', 'three', 'four', 'five'].map((text) => tablet.write('noted', { text })));
    return farm;
  }

  it('of an untouched log is intact, and of an empty one too', async () => {
    const farm = await farmWithLog();
    const report = await farm.bench.verifyChain(farm.ctx);
    expect(report).toMatchObject({ intact: true, checked: 5, fault: null });
    const empty = await newFarm();
    expect(await empty.bench.verifyChain(empty.ctx)).toEqual({
      intact: true,
      checked: 0,
      head: '',
      next: null,
      fault: null,
    });
  });

  it.each([
    [
      'a changed payload',
      `UPDATE bench_entry SET payload = '{"text":"forged"}' WHERE grower_id = $1 AND position = 3`,
      3,
      'content-changed',
    ],
    [
      'a moment set back by a day',
      `UPDATE bench_entry SET happened_at = happened_at - interval '1 day' WHERE grower_id = $1 AND position = 2`,
      2,
      'content-changed',
    ],
    [
      'an invented warning',
      `UPDATE bench_entry SET warnings = '[{"code":"x","details":{}}]' WHERE grower_id = $1 AND position = 4`,
      4,
      'content-changed',
    ],
    ['a deleted entry in the middle', 'DELETE FROM bench_entry WHERE grower_id = $1 AND position = 3', 3, 'missing'],
    ['a deleted last entry', 'DELETE FROM bench_entry WHERE grower_id = $1 AND position = 5', 5, 'missing'],
    [
      'two entries swapped',
      `UPDATE bench_entry SET position = CASE position WHEN 2 THEN 30 WHEN 3 THEN 2 ELSE position END WHERE grower_id = $1`,
      2,
      'link-broken',
    ],
    ['a counter turned back', `UPDATE bench_counter SET position = 4 WHERE grower_id = $1`, 5, 'head-differs'],
    [
      'a payload replaced together with its hash',
      `UPDATE bench_entry SET payload = '{"text":"x"}', hash = repeat('a', 64) WHERE grower_id = $1 AND position = 5`,
      5,
      'content-changed',
    ],
  ])('%s is found', async (_name, sql, position, kind) => {
    const farm = await farmWithLog();
    await tamper(sql, [farm.ctx.growerId]);
    const report = await farm.bench.verifyChain(farm.ctx);
    expect(report).toMatchObject({
      intact: false,
      fault: { position, kind, message: expect.stringContaining(`${position}`) },
    });
  });

  it('the log cannot be changed through the app’s own role', async () => {
    const farm = await farmWithLog();
    const change = (sql: string) => database.growerDb.run(farm.ctx, (tx) => tx.$executeRawUnsafe(sql));
    await expect(change(`UPDATE bench_entry SET kind = 'x'`)).rejects.toThrow();
    await expect(change('DELETE FROM bench_entry')).rejects.toThrow();
    expect(await farm.bench.verifyChain(farm.ctx)).toMatchObject({ intact: true, checked: 5 });
  });
});
