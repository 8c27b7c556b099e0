import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import {
  createLog,
  type EmbeddedPostgres,
  loadEnv,
  migrate,
  openPlatform,
  type Platform,
  platformEnvSchema,
  startEmbeddedPostgres,
} from '@jarfold/server/platform';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { type Api, createApp } from '../../apps/api/src/create-app.js';
import { apiSettings } from '../../apps/api/src/settings.js';
import { startApi } from '../support/api-app.js';

/** A server of its own, because it is stopped and started under the service. */
describe('a database that goes away and comes back', () => {
  let dataDir: string;
  let server: EmbeddedPostgres;
  let platform: Platform;
  let api: Api;

  beforeAll(async () => {
    dataDir = await mkdtemp(join(tmpdir(), 'jarfold-ready-'));
    server = await startEmbeddedPostgres({ dataDir, throwaway: true });
    await migrate({ DATABASE_URL: server.ownerUrl });
    const env = loadEnv(platformEnvSchema, { DATABASE_URL: server.ownerUrl });
    platform = await openPlatform(env, { applicationName: 'jarfold-test', log: createLog({ write: () => undefined }) });
    api = await createApp({ platform, settings: apiSettings({}) });
  });
  afterAll(async () => {
    await api.app.close();
    await platform.close();
    await server.stop();
    await rm(dataDir, { recursive: true, force: true });
  });

  const get = async (url: string) => {
    const started = performance.now();
    const response = await api.app.inject({ method: 'GET', url });
    return { status: response.statusCode, body: response.json(), ms: performance.now() - started };
  };

  it('is told by /readyz within two seconds, while /healthz stays up, and is ready again by itself', async () => {
    expect(await get('/readyz')).toMatchObject({ status: 200, body: { status: 'ready' } });

    await server.stop();
    const down = await get('/readyz');
    expect(down).toMatchObject({ status: 503, body: { code: 'unavailable' } });
    expect(down.ms).toBeLessThan(2000);
    expect(await get('/healthz')).toMatchObject({ status: 200, body: { status: 'up' } });
    expect(await get('/api/set-up')).toMatchObject({ status: 503, body: { code: 'unavailable' } });
    const { password } = new URL(server.ownerUrl);
    expect(JSON.stringify(down.body)).not.toMatch(new RegExp(`${password}|${server.port}|postgres|jarfold_`, 'i'));

    server = await startEmbeddedPostgres({ dataDir, port: server.port, throwaway: true });
    let status = 0;
    for (let tries = 0; tries < 50 && status !== 200; tries += 1) {
      status = (await get('/readyz')).status;
      if (status !== 200) await sleep(100);
    }
    expect(status).toBe(200);
    expect(await get('/api/set-up')).toMatchObject({ status: 200 });
  });
});

describe('a database that is behind', () => {
  it('is not ready until it has every migration of the program', async () => {
    const api = await startApi();
    expect((await api.send({ method: 'GET', url: '/readyz' })).status).toBe(200);
    await api.database.sql(
      'DELETE FROM _prisma_migrations WHERE migration_name = (SELECT max(migration_name) FROM _prisma_migrations)',
    );
    const answer = await api.send({ method: 'GET', url: '/readyz' });
    expect([answer.status, answer.body.code]).toEqual([503, 'unavailable']);
    expect(answer.body.detail).toContain('migrations');
    await api.close();
  });
});
