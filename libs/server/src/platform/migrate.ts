import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type pg from 'pg';
import { connectOrExplain, describeTarget } from './connection-trouble.js';
import { type DatabaseUrlSettings, databaseUrls } from './database-urls.js';
import { applyMigrations, MIGRATION_LOCK, pendingOf, readMigrations } from './migrations.js';
import { ensureRoles, type RoleName } from './roles.js';
import { StartUpError } from './start-up-error.js';

/** The queue's tables live in a schema of their own, owned by the queue role. */
export const QUEUE_SCHEMA = 'bullmq';

/** Row security is bypassed by views below 15, which cannot be told to check as the reader. */
const OLDEST_MAJOR_VERSION = 15;

export interface MigrateOptions {
  readonly log?: (message: string) => void;
  /** Another folder of migrations; for tests. */
  readonly folder?: string;
}

/** The folder of migrations, found from here upwards: the same for sources and for the built code. */
export function migrationsFolder(): string {
  for (let at = dirname(fileURLToPath(import.meta.url)); at !== dirname(at); at = dirname(at)) {
    const folder = join(at, 'prisma', 'migrations');
    if (existsSync(folder)) return folder;
  }
  throw new StartUpError(
    'migration-failed',
    'The folder prisma/migrations is missing beside the program: install Jarfold whole.',
  );
}

/** Names of the migrations a database has not had. Changes nothing. */
export async function pendingMigrations(ownerUrl: string, options: MigrateOptions = {}): Promise<string[]> {
  const files = await readMigrations(options.folder ?? migrationsFolder());
  return withClient(ownerUrl, async (client) => (await pendingOf(client, files)).map((file) => file.name));
}

/** Whether a database holds no grower yet, migrated or not. Changes nothing. */
export async function isEmptyDatabase(ownerUrl: string, settings?: DatabaseUrlSettings): Promise<boolean> {
  const made = await withClient(ownerUrl, async (client) => {
    const { rows } = await client.query<{ made: boolean }>(`SELECT to_regclass('public.grower') IS NOT NULL AS made`);
    return rows[0]?.made ?? false;
  });
  if (!made) return true;
  // Row security binds the owner too; the platform role is the one that may see who exists.
  const platformUrl = databaseUrls(settings ?? { DATABASE_URL: ownerUrl }).platform;
  return withClient(platformUrl, async (client) => (await client.query('SELECT FROM grower LIMIT 1')).rowCount === 0);
}

/**
 * Makes a database ready: roles, tables, queue tables. Safe to run from any number of processes at once and again at
 * every start; the later ones wait, find everything done and change nothing.
 * @returns names of the migrations applied now
 */
export async function migrate(settings: DatabaseUrlSettings, options: MigrateOptions = {}): Promise<string[]> {
  const files = await readMigrations(options.folder ?? migrationsFolder());
  return withClient(settings.DATABASE_URL, async (client) => {
    await requireServer(client, settings.DATABASE_URL);
    await client.query('SELECT pg_advisory_lock($1)', [MIGRATION_LOCK]);
    await ensureRoles(client, settings.DATABASE_URL, derivedRoles(settings));
    const applied = await applyMigrations(client, files);
    for (const name of applied) options.log?.(`Applied migration ${name}`);
    await narrowDatabase(client);
    await ensureQueueSchema(client, databaseUrls(settings).queue);
    return applied;
  });
}

/** Roles whose connection string was given are somebody else's to make. */
function derivedRoles(settings: DatabaseUrlSettings): RoleName[] {
  const given = {
    app: settings.DATABASE_APP_URL,
    platform: settings.DATABASE_PLATFORM_URL,
    queue: settings.DATABASE_QUEUE_URL,
  };
  return (Object.keys(given) as RoleName[]).filter((role) => given[role] === undefined);
}

async function withClient<T>(url: string, work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = await connectOrExplain(url);
  try {
    return await work(client);
  } finally {
    await client.end(); // releases the lock as well
  }
}

async function requireServer(client: pg.Client, url: string): Promise<void> {
  const { rows } = await client.query<{ version: number; shown: string }>(
    `SELECT current_setting('server_version_num')::int AS version, current_setting('server_version') AS shown`,
  );
  const { version, shown } = rows[0]!;
  if (version >= OLDEST_MAJOR_VERSION * 10_000) return;
  throw new StartUpError(
    'database-too-old',
    `The database at ${describeTarget(url)} is PostgreSQL ${shown}; Jarfold needs ${OLDEST_MAJOR_VERSION} or newer.`,
  );
}

/** What belongs to this one database and not to its tables: who may connect, and that nobody leaves things lying about. */
async function narrowDatabase(client: pg.Client): Promise<void> {
  const { rows } = await client.query<{ wide: boolean }>(
    `SELECT has_database_privilege('jarfold_app', current_database(), 'TEMP') AS wide`,
  );
  if (!rows[0]?.wide) return;
  await client.query(`DO $$ BEGIN
    EXECUTE format('REVOKE ALL ON DATABASE %I FROM PUBLIC', current_database());
    EXECUTE format('GRANT CONNECT ON DATABASE %I TO jarfold_app, jarfold_platform, jarfold_queue', current_database());
    EXECUTE 'GRANT SELECT ON public._prisma_migrations TO jarfold_app, jarfold_platform';
  END $$`);
}

/** The queue role owns its schema, because its functions make sequences at run time. */
async function ensureQueueSchema(client: pg.Client, queueUrl: string): Promise<void> {
  const database = client.escapeIdentifier((client.database ?? '') as string);
  await client.query(`GRANT CREATE ON DATABASE ${database} TO jarfold_queue`);
  try {
    const queue = await connectOrExplain(queueUrl, 'DATABASE_QUEUE_URL');
    try {
      const { runMigrations: migrateQueueSchema } = await import('bullmq'); // only a start that migrates needs it
      await migrateQueueSchema(queue as never, QUEUE_SCHEMA);
    } finally {
      await queue.end();
    }
  } finally {
    await client.query(`REVOKE CREATE ON DATABASE ${database} FROM jarfold_queue`);
  }
}
