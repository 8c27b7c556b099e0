import { randomUUID } from 'node:crypto';
import { enqueueReplan } from '@jarfold/server';
import {
  createLog,
  type GrowerContext,
  openQueues,
  platformEnvSchema,
  type Queues,
  systemClock,
} from '@jarfold/server/platform';
import { afterAll, afterEach, beforeAll, describe, expect, it } from '@jest/globals';
import { nightlySchedule } from '../../apps/worker/src/nightly.js';
import { NightlySchedules } from '../../apps/worker/src/nightly-schedules.js';
import { OutboxRelay } from '../../apps/worker/src/outbox-relay.js';
import { makeGrower } from '../support/growers.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

const quiet = createLog({ write: () => undefined });

let database: TestDatabase;
let queues: Queues;
let relay: OutboxRelay;
let farm: GrowerContext;
let other: GrowerContext;

beforeAll(async () => {
  database = await createTestDatabase();
  queues = openQueues(platformEnvSchema.parse(database.env), quiet);
  relay = new OutboxRelay(database.platformDb, queues, systemClock, quiet);
  farm = (await makeGrower(database)).owner;
  other = (await makeGrower(database)).owner;
});
afterEach(async () => {
  await database.sql('DELETE FROM outbox');
  await queues.queue('replan').drain(true);
});
afterAll(async () => {
  await queues.close();
  await database.close();
});

type Reason = Parameters<typeof enqueueReplan>[2];
const ask = (grower: GrowerContext, reason: Reason) =>
  database.growerDb.run(grower, (tx) => enqueueReplan(tx, grower, reason));
/** Moves everything that waits into the past, as if so many seconds had gone by. */
const letPass = (seconds: number) =>
  database.sql(
    `UPDATE outbox SET created_at = created_at - make_interval(secs => $1), run_after = run_after - make_interval(secs => $1)`,
    [seconds],
  );
const jobs = async () => (await queues.queue('replan').getWaiting()).map(({ data }) => data);
const waiting = async () => (await database.sql('SELECT 1 FROM outbox WHERE published_at IS NULL')).length;

describe('the outbox relay', () => {
  it('publishes what somebody waits for at once', async () => {
    await ask(farm, 'run-changed');
    expect(await relay.relay()).toBe(1);
    expect(await jobs()).toEqual([{ version: 1, growerId: farm.growerId, reason: 'run-changed' }]);
    expect(await waiting()).toBe(0);
    expect(await relay.relay()).toBe(0);
  });

  it('waits until the bench is quiet, and makes one job of a burst', async () => {
    await ask(farm, 'bench-entries');
    await letPass(15);
    await ask(farm, 'bench-entries');
    await letPass(15);
    // The first is thirty seconds old by now, but the last only fifteen.
    expect(await relay.relay()).toBe(0);
    await ask(other, 'bench-entries');
    await letPass(6);
    expect(await relay.relay()).toBe(1);
    expect(await jobs()).toMatchObject([{ growerId: farm.growerId, reason: 'bench-entries' }]);
    expect(await waiting()).toBe(1);
  });

  it('does not wait for a bench that is never quiet for longer than two minutes', async () => {
    for (let second = 0; second < 120; second += 10) {
      await ask(farm, 'bench-entries');
      expect(await relay.relay()).toBe(0);
      await letPass(10);
    }
    await ask(farm, 'bench-entries');
    expect(await relay.relay()).toBe(1);
    expect(await jobs()).toHaveLength(1);
  });

  it('lets nobody who waits for a plan wait for a busy bench', async () => {
    await ask(farm, 'bench-entries');
    await ask(farm, 'run-changed');
    expect(await relay.relay()).toBe(1);
    expect(await jobs()).toMatchObject([{ reason: 'run-changed' }]);
    expect(await waiting()).toBe(1);
  });

  it('that died between queueing and marking publishes again under the same job, which the queue keeps once', async () => {
    await ask(farm, 'run-changed');
    await relay.relay();
    await database.sql('UPDATE outbox SET published_at = NULL');
    expect(await relay.relay()).toBe(1);
    expect(await jobs()).toHaveLength(1);
  });

  it('two of them at once publish each row as one job', async () => {
    for (const grower of [farm, other]) await ask(grower, 'run-changed');
    const second = new OutboxRelay(database.platformDb, queues, systemClock, quiet);
    await Promise.all([relay.relay(), second.relay()]);
    expect((await jobs()).map(({ growerId }) => growerId).sort()).toEqual([farm.growerId, other.growerId].sort());
  });

  it('keeps the rows of a queue that cannot be reached, with the reason', async () => {
    await ask(farm, 'run-changed');
    const broken = {
      ...queues,
      queue: () => ({ add: () => Promise.reject(new Error('connection refused')) }),
    } as unknown as Queues;
    expect(await new OutboxRelay(database.platformDb, broken, systemClock, quiet).relay()).toBe(0);
    const rows = await database.sql('SELECT attempts, last_error, published_at FROM outbox');
    expect(rows).toEqual([{ attempts: 1, last_error: 'connection refused', published_at: null }]);
    expect(await relay.relay()).toBe(1);
  });

  it('sets a row aside that is no job, where its farm sees why', async () => {
    const insert = `INSERT INTO outbox (grower_id, id, job_name, payload) VALUES ($1, $2, $3, $4)`;
    await database.sql(insert, [farm.growerId, randomUUID(), 'count-sheep', '{}']);
    expect(await relay.relay()).toBe(0);
    const failed = await database.sql('SELECT grower_id, job_name, reason FROM failed_job');
    expect(failed).toEqual([
      { grower_id: farm.growerId, job_name: 'count-sheep', reason: 'There is no job called "count-sheep".' },
    ]);
    expect(await waiting()).toBe(0);
  });
});

describe('the nightly plan', () => {
  const schedules = () => new NightlySchedules(database.platformDb, queues, quiet);
  const next = async ({ growerId }: GrowerContext) =>
    new Date((await queues.queue('replan').getJobScheduler(`nightly-${growerId}`))!.next!);
  const clockIn = (timeZone: string, date: Date) =>
    new Intl.DateTimeFormat('en-GB', { timeZone, hour: '2-digit', minute: '2-digit' }).format(date);
  const minuteOf = ({ growerId: id }: GrowerContext) => nightlySchedule({ id, timeZone: '' }).pattern.split(' ')[0]!;

  it('comes at four in the morning of each farm, wherever it is', async () => {
    await database.sql(`UPDATE grower SET time_zone = 'Pacific/Auckland' WHERE id = $1`, [other.growerId]);
    await schedules().keepInStep();
    expect(clockIn('Europe/Vienna', await next(farm))).toBe(`04:${minuteOf(farm).padStart(2, '0')}`);
    expect(clockIn('Pacific/Auckland', await next(other))).toBe(`04:${minuteOf(other).padStart(2, '0')}`);
    const hoursAhead = [await next(farm), await next(other)].map((date) => date.getTime() - Date.now());
    for (const ahead of hoursAhead) expect(ahead > 0 && ahead <= 25 * 3_600_000).toBe(true);
  });

  it('done again changes nothing, and a farm that moved is followed', async () => {
    const before = await next(farm);
    await schedules().keepInStep();
    expect(await next(farm)).toEqual(before);
    await database.sql(`UPDATE grower SET time_zone = 'America/Chicago' WHERE id = $1`, [farm.growerId]);
    await schedules().keepInStep();
    expect(clockIn('America/Chicago', await next(farm))).toBe(`04:${minuteOf(farm).padStart(2, '0')}`);
    expect(await queues.queue('replan').getJobSchedulersCount()).toBe(2);
  });

  it("one farm's unknown zone costs no other farm its night", async () => {
    await database.sql(`UPDATE grower SET time_zone = 'Mars/Olympus' WHERE id = $1`, [other.growerId]);
    const third = (await makeGrower(database)).owner;
    await schedules().keepInStep();
    expect(clockIn('Europe/Vienna', await next(third))).toBe(`04:${minuteOf(third).padStart(2, '0')}`);
  });
});
