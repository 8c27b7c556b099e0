/** A throwaway database for tools: on TEST_DATABASE_URL's server when set, else on a packaged PostgreSQL in a temporary folder. */
import { randomBytes } from 'node:crypto';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { startEmbeddedPostgres } from '../libs/server/dist/platform/embedded-postgres.js';
import { migrate } from '../libs/server/dist/platform/migrate.js';

/** Calls work with the owner's connection string of a database that has had every migration. */
export async function withMigratedDatabase(work) {
  const given = process.env.TEST_DATABASE_URL;
  return given ? onServer(given, work) : onPackagedServer(work);
}

async function onPackagedServer(work) {
  const dataDir = await mkdtemp(join(tmpdir(), 'jarfold-scratch-'));
  const server = await startEmbeddedPostgres({ dataDir, throwaway: true });
  try {
    await migrate({ DATABASE_URL: server.ownerUrl });
    return await work(server.ownerUrl);
  } finally {
    await server.stop();
    await rm(dataDir, { recursive: true, force: true });
  }
}

async function onServer(serverUrl, work) {
  const name = `jarfold_scratch_${randomBytes(5).toString('hex')}`;
  const url = new URL(serverUrl);
  url.pathname = `/${name}`;
  await administer(serverUrl, `CREATE DATABASE ${name}`);
  try {
    await migrate({ DATABASE_URL: url.toString() });
    return await work(url.toString());
  } finally {
    await administer(serverUrl, `DROP DATABASE ${name} WITH (FORCE)`);
  }
}

async function administer(url, sql) {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    await client.query(sql);
  } finally {
    await client.end();
  }
}
