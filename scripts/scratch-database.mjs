/** A throwaway database for tools, on a packaged PostgreSQL in a temporary folder. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { startEmbeddedPostgres } from '../libs/server/dist/platform/embedded-postgres.js';
import { migrate } from '../libs/server/dist/platform/migrate.js';

/** Calls work with the owner's connection string of a database that has had every migration. */
export async function withMigratedDatabase(work) {
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
