import { requireNarrowRole } from './app-role.js';
import { connectionTroubleLog } from './connection-trouble-log.js';
import { databaseUrls } from './database-urls.js';
import type { PlatformEnv } from './env.js';
import { GrowerDb } from './grower-db.js';
import type { Log } from './log.js';
import { PlatformDb } from './platform-db.js';
import { prismaClient } from './prisma-client.js';

/** The two ways to the database, open. */
export interface Platform {
  readonly growerDb: GrowerDb;
  readonly platformDb: PlatformDb;
  close(): Promise<void>;
}

export interface PlatformOptions {
  /** Shown by the database beside each session: `jarfold-api`, `jarfold-worker`. */
  readonly applicationName: string;
  readonly log: Log;
}

/**
 * Opens the database for a process that serves growers. It never migrates: that is done before it starts.
 * @throws StartUpError when the database cannot be reached, or the app role could see past row security.
 */
export async function openPlatform(env: PlatformEnv, { applicationName, log }: PlatformOptions): Promise<Platform> {
  const urls = databaseUrls(env);
  await Promise.all([
    requireNarrowRole(urls.app, 'DATABASE_APP_URL'),
    requireNarrowRole(urls.platform, 'DATABASE_PLATFORM_URL'),
  ]);
  const say = connectionTroubleLog(log);
  const onPoolError = (error: Error) => say('database-connection-lost', error);
  const open = (url: string, maxConnections: number) =>
    prismaClient(url, { maxConnections, applicationName, onPoolError });
  const growerDb = new GrowerDb(open(urls.app, env.JARFOLD_POOL_SIZE));
  const platformDb = new PlatformDb(open(urls.platform, Math.max(2, Math.ceil(env.JARFOLD_POOL_SIZE / 2))));
  // Should the database have gone away this very moment, the first request tells it.
  await Promise.all([growerDb.open(), platformDb.open()]).catch(() => undefined);
  const close = async () => {
    await Promise.all([growerDb.close(), platformDb.close()]);
  };
  return { growerDb, platformDb, close };
}
