import { randomBytes } from 'node:crypto';
import { type DatabaseUrls, databaseUrls } from '@jarfold/server/platform';
import pg from 'pg';
import { GrowerDb } from '../../libs/server/src/platform/grower-db.js';
import { PlatformDb } from '../../libs/server/src/platform/platform-db.js';
import { prismaClient } from '../../libs/server/src/platform/prisma-client.js';

/** A migrated database of its own, copied from the template in some 20 ms. */
export interface TestDatabase {
  readonly name: string;
  readonly urls: DatabaseUrls;
  /** Superuser connection to this database, past all row security: for looking behind the scenes. */
  readonly superuserUrl: string;
  /** What a process started on it needs in its environment. */
  readonly env: { readonly DATABASE_URL: string };
  readonly growerDb: GrowerDb;
  readonly platformDb: PlatformDb;
  /** Runs SQL as the superuser. */
  sql<Row extends pg.QueryResultRow>(text: string, values?: readonly unknown[]): Promise<Row[]>;
  /** Closes everything and drops the database, whoever is still connected. */
  close(): Promise<void>;
}

export interface TestDatabaseOptions {
  /** An empty database instead of a copy of the template. */
  readonly empty?: boolean;
  readonly maxConnections?: number;
}

export async function createTestDatabase(options: TestDatabaseOptions = {}): Promise<TestDatabase> {
  const admin = required('JARFOLD_TEST_SUPERUSER_URL');
  const name = `jarfold_test_${required('JARFOLD_TEST_RUN')}_${randomBytes(5).toString('hex')}`;
  const source = options.empty ? '' : ` TEMPLATE ${required('JARFOLD_TEST_TEMPLATE')}`;
  await administer(admin, `CREATE DATABASE ${name}${source} OWNER jarfold_owner`);
  const superuserUrl = withDatabase(admin, name);
  const urls = databaseUrls({ DATABASE_URL: ownerUrl(superuserUrl) });
  const pool = new pg.Pool({ connectionString: superuserUrl, max: 2 });
  pool.on('error', () => undefined); // dropping the database ends its sessions
  const client = (url: string) =>
    prismaClient(url, {
      maxConnections: options.maxConnections ?? 4,
      applicationName: 'jarfold-test',
      onPoolError: () => undefined,
    });
  const growerDb = new GrowerDb(client(urls.app));
  const platformDb = new PlatformDb(client(urls.platform));
  return {
    name,
    urls,
    superuserUrl,
    env: { DATABASE_URL: urls.owner },
    growerDb,
    platformDb,
    sql: async (text, values = []) => (await pool.query(text, [...values])).rows,
    close: async () => {
      await Promise.all([growerDb.close(), platformDb.close(), pool.end()]);
      await administer(admin, `DROP DATABASE ${name} WITH (FORCE)`);
    },
  };
}

function required(name: string): string {
  const value = process.env[name];
  if (!value) throw new Error(`${name} is not set: run database tests through the integration or browser project.`);
  return value;
}

function withDatabase(url: string, database: string): string {
  const changed = new URL(url);
  changed.pathname = `/${database}`;
  return changed.toString();
}

function ownerUrl(superuserUrl: string): string {
  const url = new URL(superuserUrl);
  url.username = 'jarfold_owner';
  url.password = encodeURIComponent(required('JARFOLD_TEST_OWNER_PASSWORD'));
  return url.toString();
}

async function administer(url: string, sql: string): Promise<void> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    await client.query(sql);
  } finally {
    await client.end();
  }
}
