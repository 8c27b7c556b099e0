import { type ChildProcess, spawn } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { setTimeout as sleep } from 'node:timers/promises';
import { createLog, openQueues, type PlatformEnv, platformEnvSchema, type Queues } from '@jarfold/server/platform';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { freePort } from '../support/free-port.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

const REDIS = '/usr/bin/redis-server';
const quiet = createLog({ write: () => undefined });

let database: TestDatabase;

beforeAll(async () => {
  database = await createTestDatabase();
});
afterAll(async () => {
  await database.close();
});

describe.each<'postgresql' | 'redis'>(['postgresql', 'redis'])('queues on %s', (backend) => {
  const available = backend === 'postgresql' || existsSync(REDIS);
  const test = available ? it : it.skip; // Debian: apt-get install redis-server
  let redis: ChildProcess | null = null;
  let env: PlatformEnv;
  let queues: Queues;

  beforeAll(async () => {
    const settings: Record<string, string> = { DATABASE_URL: database.urls.owner };
    if (backend === 'redis' && available) {
      const port = await freePort();
      redis = spawn(REDIS, ['--port', String(port), '--bind', '127.0.0.1', '--save', '', '--appendonly', 'no']);
      settings.REDIS_URL = `redis://127.0.0.1:${port}`;
    }
    env = platformEnvSchema.parse(settings);
    queues = openQueues(env, quiet);
  });

  afterAll(async () => {
    await queues.close();
    if (redis && redis.exitCode === null) {
      redis.kill('SIGTERM');
      await once(redis, 'exit');
    }
  });

  test('a job reaches its worker with its payload parsed', async () => {
    const payload = { version: 1 as const, growerId: randomUUID(), reason: 'asked' as const };
    const worked: unknown[] = [];
    const worker = queues.work('replan', async (received) => worked.push(received));
    await queues.queue('replan').add('replan', payload);
    await until(() => worked.length === 1);
    await worker.close();

    expect(queues.backend).toBe(backend);
    expect(worked).toEqual([payload]);
  });

  test('a payload that does not fit its contract fails at once, is not tried again and stays visible', async () => {
    let calls = 0;
    const worker = queues.work('replan', async () => {
      calls += 1;
    });
    await queues.queue('replan').add('replan', { version: 1, growerId: 'not-a-uuid', reason: 'asked' });
    await until(async () => (await queues.queue('replan').getFailedCount()) === 1);
    await worker.close();
    const [failed] = await queues.queue('replan').getFailed();

    expect(calls).toBe(0);
    expect(failed?.attemptsMade).toBe(1);
    expect(failed?.failedReason).toMatch(/payload of job replan.*growerId/);
  });

  test('a second process with the same settings takes jobs from the same queue', async () => {
    const other = openQueues(env, quiet);
    const worked: string[] = [];
    const worker = other.work('replan', async (payload) => worked.push(payload.growerId));
    const growerId = randomUUID();
    await queues.queue('replan').add('replan', { version: 1, growerId, reason: 'asked' });
    await until(() => worked.includes(growerId));
    await worker.close();
    await other.close();

    expect(worked).toEqual([growerId]);
  });
});

async function until(holds: () => boolean | Promise<boolean>): Promise<void> {
  for (let tries = 0; tries < 200; tries += 1) {
    if (await holds()) return;
    await sleep(50);
  }
  throw new Error('What was waited for did not happen within 10 s.');
}
