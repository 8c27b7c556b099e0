import { createHash, randomUUID } from 'node:crypto';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type pg from 'pg';
import { StartUpError } from './start-up-error.js';

/** Any number that every starter agrees on: it is the key of the lock that lets one of them migrate at a time. */
export const MIGRATION_LOCK = 7_207_369;

export interface MigrationFile {
  readonly name: string;
  readonly sql: string;
  /** SHA-256 of the file's bytes in hex: what Prisma records too. */
  readonly checksum: string;
}

interface AppliedRow {
  readonly migration_name: string;
  readonly checksum: string;
  readonly finished_at: Date | null;
  readonly rolled_back_at: Date | null;
}

/** The migrations of a folder in Prisma's layout, in the order of their names. */
export async function readMigrations(folder: string): Promise<readonly MigrationFile[]> {
  const entries = await readdir(folder, { withFileTypes: true });
  const names = entries.filter((entry) => entry.isDirectory()).map((entry) => entry.name);
  return Promise.all(names.sort().map((name) => readMigration(folder, name)));
}

async function readMigration(folder: string, name: string): Promise<MigrationFile> {
  const bytes = await readFile(join(folder, name, 'migration.sql'));
  return { name, sql: bytes.toString('utf8'), checksum: createHash('sha256').update(bytes).digest('hex') };
}

/** Migrations of the folder that the database has not had. */
export async function pendingOf(client: pg.ClientBase, files: readonly MigrationFile[]): Promise<MigrationFile[]> {
  const applied = await appliedMigrations(client);
  refuseUnfinished(applied);
  refuseUnknown(applied, files);
  refuseEdited(applied, files);
  const done = new Set(applied.map((row) => row.migration_name));
  return files.filter((file) => !done.has(file.name));
}

async function appliedMigrations(client: pg.ClientBase): Promise<AppliedRow[]> {
  const { rows } = await client.query<{ present: boolean }>(
    `SELECT to_regclass('public._prisma_migrations') IS NOT NULL AS present`,
  );
  if (!rows[0]?.present) return [];
  const applied = await client.query<AppliedRow>(
    'SELECT migration_name, checksum, finished_at, rolled_back_at FROM public._prisma_migrations ORDER BY started_at',
  );
  return applied.rows.filter((row) => row.rolled_back_at === null);
}

function refuseUnfinished(applied: readonly AppliedRow[]): void {
  const row = applied.find(({ finished_at }) => finished_at === null);
  if (!row) return;
  throw new StartUpError(
    'migration-failed',
    `The database says migration ${row.migration_name} was begun by another tool and never finished: finish or resolve it there, then start again.`,
  );
}

function refuseUnknown(applied: readonly AppliedRow[], files: readonly MigrationFile[]): void {
  const known = new Set(files.map((file) => file.name));
  const row = applied.find(({ migration_name }) => !known.has(migration_name));
  if (!row) return;
  throw new StartUpError(
    'migration-unknown',
    `The database has had migration ${row.migration_name}, which this Jarfold does not know: it was used by a newer version, so start that one.`,
  );
}

function refuseEdited(applied: readonly AppliedRow[], files: readonly MigrationFile[]): void {
  const checksums = new Map(applied.map((row) => [row.migration_name, row.checksum]));
  const file = files.find(({ name, checksum }) => (checksums.get(name) ?? checksum) !== checksum);
  if (!file) return;
  throw new StartUpError(
    'migration-edited',
    `Migration ${file.name} was changed after this database had it, so the two no longer agree: put the file back as it was and make a new migration for the change.`,
  );
}

/**
 * Brings a database up to the folder, one transaction per file; the rows written are Prisma's own, so its tools can
 * read and continue them. The caller holds {@link MIGRATION_LOCK}.
 * @returns the names applied now
 * @throws StartUpError `migration-failed` with the database's own words; that file then left nothing behind.
 */
export async function applyMigrations(client: pg.ClientBase, files: readonly MigrationFile[]): Promise<string[]> {
  await client.query(LEDGER);
  const pending = await pendingOf(client, files);
  for (const file of pending) await applyOne(client, file);
  return pending.map((file) => file.name);
}

const LEDGER = `
  CREATE TABLE IF NOT EXISTS public._prisma_migrations (
    id                  varchar(36) PRIMARY KEY,
    checksum            varchar(64) NOT NULL,
    finished_at         timestamptz,
    migration_name      varchar(255) NOT NULL,
    logs                text,
    rolled_back_at      timestamptz,
    started_at          timestamptz NOT NULL DEFAULT now(),
    applied_steps_count integer NOT NULL DEFAULT 0
  )`;

async function applyOne(client: pg.ClientBase, file: MigrationFile): Promise<void> {
  await client.query('BEGIN');
  try {
    await client.query(file.sql); // one simple query: the file may hold function bodies with semicolons
    await client.query(
      `INSERT INTO public._prisma_migrations (id, checksum, migration_name, started_at, finished_at, applied_steps_count)
       VALUES ($1, $2, $3, now(), clock_timestamp(), 1)`,
      [randomUUID(), file.checksum, file.name],
    );
    await client.query('COMMIT');
  } catch (cause) {
    await client.query('ROLLBACK');
    throw new StartUpError(
      'migration-failed',
      `Migration ${file.name} failed and was undone whole: ${(cause as Error).message}${where(file.sql, cause)}.`,
      { cause },
    );
  }
}

function where(sql: string, cause: unknown): string {
  const position = Number((cause as { position?: string }).position);
  if (!Number.isInteger(position) || position <= 0) return '';
  return ` (line ${sql.slice(0, position).split('\n').length})`;
}
