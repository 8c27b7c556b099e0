import { cp, rm } from 'node:fs/promises';
import { join } from 'node:path';
import {
  type EmbeddedPostgres,
  isEmptyDatabase,
  migrate,
  pendingMigrations,
  startEmbeddedPostgres,
} from '@jarfold/server/platform';
import type { LauncherSettings } from './settings.js';

export interface FarmDatabase {
  readonly url: string;
  stop(): Promise<void>;
}

/**
 * Brings the database up and up to date: the embedded one, or the one that DATABASE_URL names. Before an embedded
 * farm with data is migrated, its folder is copied to `backups/` beside it, so that a bad upgrade can be undone.
 */
export async function openDatabase(settings: LauncherSettings, say: (line: string) => void): Promise<FarmDatabase> {
  if (settings.databaseUrl !== null) {
    await migrate({ ...process.env, DATABASE_URL: settings.databaseUrl }, { log: say });
    return { url: settings.databaseUrl, stop: async () => undefined };
  }
  const keeper = await startKept(settings.dataFolder, say);
  try {
    await backUpBeforeMigration(keeper, settings.dataFolder, say);
    await migrate({ DATABASE_URL: keeper.server.ownerUrl }, { log: say });
  } catch (error) {
    await keeper.stop();
    throw error;
  }
  keeper.guard();
  return { url: keeper.server.ownerUrl, stop: keeper.stop };
}

interface Keeper {
  server: EmbeddedPostgres;
  /** From now on a server that dies (kill -9, out of memory) is started again on the same port. */
  guard(): void;
  restart(between: () => Promise<void>): Promise<void>;
  stop(): Promise<void>;
}

async function startKept(dataDir: string, say: (line: string) => void): Promise<Keeper> {
  // The launcher's own lock on the folder is held by now: a server still alive there has lost its launcher.
  const server = await startEmbeddedPostgres({ dataDir, takeOver: true });
  const keeper: Keeper & { stopping: boolean } = {
    server,
    stopping: false,
    guard: () => {
      void keeper.server.ended.then(async () => {
        if (keeper.stopping) return;
        say('The database server ended unexpectedly and is started again.');
        keeper.server = await startEmbeddedPostgres({ dataDir, port: keeper.server.port, takeOver: true });
        keeper.guard();
      });
    },
    restart: async (between) => {
      await keeper.server.stop();
      await between();
      keeper.server = await startEmbeddedPostgres({ dataDir, port: keeper.server.port });
    },
    stop: async () => {
      keeper.stopping = true;
      await keeper.server.stop();
    },
  };
  return keeper;
}

async function backUpBeforeMigration(keeper: Keeper, dataDir: string, say: (line: string) => void): Promise<void> {
  const pending = await pendingMigrations(keeper.server.ownerUrl);
  if (pending.length === 0 || (await isEmptyDatabase(keeper.server.ownerUrl))) return;
  const target = join(dataDir, 'backups', `before-${pending[0]}`);
  say(`Copying the data folder to ${target} before the database is changed.`);
  // Only a stopped server's folder is whole: a copy of a running one may not open again.
  await keeper.restart(async () => {
    await rm(target, { recursive: true, force: true });
    await cp(join(dataDir, 'postgres'), join(target, 'postgres'), { recursive: true, preserveTimestamps: true });
    await cp(join(dataDir, 'owner-password'), join(target, 'owner-password'));
  });
}
