import { randomUUID } from 'node:crypto';
import { addDays, calendarDayAt } from '@jarfold/domain';
import { enqueueReplan } from '@jarfold/server';
import { type GrowerContext, log, openQueues, platformEnvSchema, type Queues } from '@jarfold/server/platform';
import { afterAll, afterEach, beforeAll, describe, expect, it } from '@jest/globals';
import pg from 'pg';
import { type FarmServices, farmServices, makeSmallFarm } from '../support/small-farm.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';
import { until } from '../support/until.js';
import { hasRedis, refusedWorker, startRedis, startWorker, type WorkerProcess } from '../support/worker-process.js';

const inFiveWeeks = addDays(calendarDayAt(Date.now(), 'Europe/Vienna'), 35);

const backends = ['postgresql', ...(hasRedis() ? ['redis'] : [])];
if (!hasRedis()) process.stderr.write('Worker on Redis: skipped: no Redis.\n');

describe.each(backends)('a worker process on %s', (backend) => {
  let database: TestDatabase;
  let services: FarmServices;
  let farm: Awaited<ReturnType<typeof makeSmallFarm>>;
  let queues: Queues;
  let env: Record<string, string>;
  let redis: { readonly url: string; stop(): Promise<void> } | null = null;
  const workers: WorkerProcess[] = [];

  const start = async () => {
    const worker = await startWorker({ env });
    workers.push(worker);
    return worker;
  };

  beforeAll(async () => {
    database = await createTestDatabase();
    redis = backend === 'redis' ? await startRedis() : null;
    env = { ...database.env, ...(redis === null ? {} : { REDIS_URL: redis.url }) };
    queues = openQueues(platformEnvSchema.parse(env), log);
    services = farmServices(database);
    farm = await makeSmallFarm(database, services, inFiveWeeks);
    // What the first start enqueued was planned at once; each test below asks anew.
    await database.sql('DELETE FROM outbox');
  });
  afterEach(async () => {
    for (const worker of workers.splice(0)) await worker.killHard();
    await database.sql('DELETE FROM outbox');
    await database.sql('DELETE FROM failed_job');
  });
  afterAll(async () => {
    await queues.close();
    await services.planner.close();
    await redis?.stop();
    await database.close();
  });

  it('does in one plan what was asked for in a transaction, and nothing of one that was rolled back', async () => {
    await start();
    await changeRun(database, farm, 41_000);
    const before = await planCount(database, farm);
    await database.growerDb.run(farm, (tx) => enqueueReplan(tx, farm, 'run-changed'));
    await until('a new plan', async () => (await planCount(database, farm)) === before + 1);

    await expect(
      database.growerDb.run(farm, async (tx) => {
        await enqueueReplan(tx, farm, 'run-changed');
        throw new Error('rolled back');
      }),
    ).rejects.toThrow('rolled back');
    expect(await database.sql('SELECT 1 FROM outbox WHERE published_at IS NULL')).toEqual([]);
  });

  it('killed with -9 in the middle of a job, it is replaced within seconds and the plan is stored whole, once', async () => {
    const first = await start();
    await changeRun(database, farm, 42_000);
    const before = await planCount(database, farm);
    const hold = await holdPlanLock(database, farm);
    await database.growerDb.run(farm, (tx) => enqueueReplan(tx, farm, 'run-changed'));
    await until('the worker to wait for the lock', () => hold.hasWaiter());
    await first.killHard();
    await hold.release();
    expect(await planCount(database, farm)).toBe(before);

    await start();
    // The lock of the dead worker runs out after 2 s here, 10 s on a farm; the rest is planning.
    await until('the job to be taken over', async () => (await planCount(database, farm)) === before + 1, 45_000);
    const [plan] = await database.sql<{ runs: number }>(
      `SELECT jsonb_array_length(result->'runs') AS runs FROM plan ORDER BY version DESC LIMIT 1`,
    );
    expect(plan?.runs).toBe(1);
    await new Promise((resolve) => setTimeout(resolve, 3_000));
    expect(await planCount(database, farm)).toBe(before + 1);
  });

  it('a job delivered twice has its effect once', async () => {
    await start();
    await changeRun(database, farm, 43_000);
    const before = await planCount(database, farm);
    await database.growerDb.run(farm, (tx) => enqueueReplan(tx, farm, 'run-changed'));
    await until('a new plan', async () => (await planCount(database, farm)) === before + 1);
    // As if the relay had died between queueing and marking: the row is published again …
    await database.sql('UPDATE outbox SET published_at = NULL');
    await until('the row to be published again', async () => (await waiting(database)) === 0);
    // … and as if the queue had lost what it knew of the job: it is run again.
    const payload = { version: 1, growerId: farm.growerId, reason: 'run-changed' };
    const job = await queues.queue('replan').add('replan', payload);
    await until('the second run', async () => (await job.getState()) === 'completed');
    expect(await planCount(database, farm)).toBe(before + 1);
  });

  it('a payload that does not fit fails with what is wrong, is shown to its farm, and changes nothing', async () => {
    await start();
    const before = await planCount(database, farm);
    const bad = { version: 1, growerId: farm.growerId, reason: 'because' };
    await queues.queue('replan').add('replan', bad, { jobId: randomUUID() });
    await insertOutboxRow(database, farm, { ...bad, reason: 'bench-entries', extra: true });
    await until('two failed jobs', async () => (await failedReasons(database)).length === 2);
    const reasons = await failedReasons(database);
    expect(reasons.filter((reason) => reason.includes('reason: Invalid option'))).toHaveLength(1);
    expect(reasons.filter((reason) => reason.includes('Unrecognized key: "extra"'))).toHaveLength(1);
    expect(await planCount(database, farm)).toBe(before);
  });

  it('a row that names another grower than its own is set aside', async () => {
    await start();
    await insertOutboxRow(database, farm, { version: 1, growerId: randomUUID(), reason: 'asked' });
    await until('a failed job', async () => (await failedReasons(database)).length === 1);
    expect((await failedReasons(database))[0]).toContain('names another grower');
  });

  it('a job that failed is tried again by hand, and leaves the list once its work is done', async () => {
    await start();
    await database.sql(`UPDATE grower SET time_zone = 'Mars/Olympus' WHERE id = $1`, [farm.growerId]);
    const payload = { version: 1, growerId: farm.growerId, reason: 'asked' };
    await queues.queue('replan').add('replan', payload, { attempts: 1 });
    await until('a failed job', async () => (await failedReasons(database)).length === 1);
    expect((await failedReasons(database))[0]).toContain('Mars/Olympus');
    await database.sql(`UPDATE grower SET time_zone = 'Europe/Vienna' WHERE id = $1`, [farm.growerId]);
    await database.growerDb.run(farm, (tx) => enqueueReplan(tx, farm, 'asked'));
    await until('the failure to be settled', async () => (await failedReasons(database)).length === 0);
  });

  it('told to stop while it works, it finishes the job and leaves with code 0', async () => {
    const worker = await start();
    await changeRun(database, farm, 44_000);
    const before = await planCount(database, farm);
    const hold = await holdPlanLock(database, farm);
    await database.growerDb.run(farm, (tx) => enqueueReplan(tx, farm, 'run-changed'));
    await until('the worker to wait for the lock', () => hold.hasWaiter());
    const stopped = worker.stop();
    await hold.release();
    expect(await stopped).toBe(0);
    expect(await planCount(database, farm)).toBe(before + 1);
  });
});

describe('a worker process that cannot start', () => {
  it('says in one sentence what is missing, and leaves with another code than 0', async () => {
    const { code, said } = await refusedWorker({});
    expect(code).toBe(1);
    expect(said).toMatch(/^DATABASE_URL is not set[^\n]*\n$/);
  });

  it('names a setting that is out of range', async () => {
    const { code, said } = await refusedWorker({
      DATABASE_URL: 'postgresql://nobody@127.0.0.1:1/none',
      JARFOLD_JOB_LOCK_MS: '5',
    });
    expect(code).toBe(1);
    expect(said).toContain('JARFOLD_JOB_LOCK_MS is "5", which is below 1000');
  });
});

async function planCount(database: TestDatabase, { growerId }: GrowerContext): Promise<number> {
  const rows = await database.sql<{ plans: number }>('SELECT count(*)::int AS plans FROM plan WHERE grower_id = $1', [
    growerId,
  ]);
  return rows[0]!.plans;
}

/** A change of facts behind the services' back, so that a test decides itself when a plan is asked for. */
async function changeRun(database: TestDatabase, { runId }: { readonly runId: string }, wetG: number): Promise<void> {
  await database.sql(
    `UPDATE bulk_run SET substrate_wet_g = $2, min_g = $2 * 0.04, target_g = $2 * 0.05, max_g = $2 * 0.055 WHERE id = $1`,
    [runId, wetG],
  );
}

async function waiting(database: TestDatabase): Promise<number> {
  const rows = await database.sql<{ waiting: number }>(
    'SELECT count(*)::int AS waiting FROM outbox WHERE published_at IS NULL',
  );
  return rows[0]!.waiting;
}

async function failedReasons(database: TestDatabase): Promise<string[]> {
  const rows = await database.sql<{ reason: string }>('SELECT reason FROM failed_job WHERE settled_at IS NULL');
  return rows.map(({ reason }) => reason);
}

async function insertOutboxRow(database: TestDatabase, { growerId }: GrowerContext, payload: object): Promise<void> {
  await database.sql(
    `INSERT INTO outbox (grower_id, id, job_name, job_key, payload) VALUES ($1, $2, 'replan', 'replan', $3)`,
    [growerId, randomUUID(), JSON.stringify(payload)],
  );
}

/** Holds the lock under which a plan is stored, so that a job stands still in the middle of its work. */
async function holdPlanLock(database: TestDatabase, { growerId }: GrowerContext) {
  const client = new pg.Client({ connectionString: database.superuserUrl });
  await client.connect();
  await client.query(`SELECT pg_advisory_lock(hashtextextended('plan:' || $1, 0))`, [growerId]);
  const waiters = `SELECT 1 FROM pg_locks WHERE locktype = 'advisory' AND NOT granted
                    AND database = (SELECT oid FROM pg_database WHERE datname = current_database())`;
  return {
    hasWaiter: async () => (await client.query(waiters)).rowCount! > 0,
    release: () => client.end(),
  };
}
