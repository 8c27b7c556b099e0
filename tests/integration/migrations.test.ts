import { createHash } from 'node:crypto';
import { appendFile, cp, mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  createLog,
  isEmptyDatabase,
  migrate,
  migrationsFolder,
  openPlatform,
  pendingMigrations,
  platformEnvSchema,
  StartUpError,
} from '@jarfold/server/platform';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from '@jest/globals';
import { makeGrower } from '../support/growers.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

let names: string[];
let folder: string;
let database: TestDatabase;

beforeAll(async () => {
  const entries = await readdir(migrationsFolder(), { withFileTypes: true });
  names = entries
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name)
    .sort();
  folder = await mkdtemp(join(tmpdir(), 'jarfold-migrations-'));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

beforeEach(async () => {
  database = await createTestDatabase({ empty: true });
  await rm(folder, { recursive: true, force: true });
  await cp(migrationsFolder(), folder, { recursive: true });
});
afterEach(() => database.close());

interface LedgerRow {
  readonly migration_name: string;
  readonly checksum: string;
  readonly finished_at: Date | null;
  readonly applied_steps_count: number;
}
const ledger = () => database.sql<LedgerRow & object>('SELECT * FROM _prisma_migrations ORDER BY migration_name');
const tableExists = async (table: string) =>
  (await database.sql<{ there: boolean }>(`SELECT to_regclass($1) IS NOT NULL AS there`, [table]))[0]!.there;

async function addMigration(name: string, sql: string): Promise<void> {
  await mkdir(join(folder, name));
  await writeFile(join(folder, name, 'migration.sql'), sql);
}

async function startUpError(work: Promise<unknown>): Promise<StartUpError> {
  const error = await work.then(
    () => null,
    (thrown: unknown) => thrown,
  );
  expect(error).toBeInstanceOf(StartUpError);
  return error as StartUpError;
}

describe('migrating an empty database', () => {
  it('by four starters at once applies every migration exactly once', async () => {
    const applied = await Promise.all(Array.from({ length: 4 }, () => migrate(database.env)));

    expect(applied.flat().sort()).toEqual(names);
    expect(applied.filter((list) => list.length > 0)).toHaveLength(1);
    expect((await ledger()).map((row) => row.migration_name)).toEqual(names);
  });

  it('a second time changes nothing', async () => {
    await migrate(database.env);
    const before = await ledger();

    expect(await migrate(database.env)).toEqual([]);
    expect(await ledger()).toEqual(before);
    expect(await pendingMigrations(database.env.DATABASE_URL)).toEqual([]);
  });

  it('leaves Prisma’s own record: finished, one step, the SHA-256 of the file', async () => {
    await migrate(database.env);
    const expected = await Promise.all(
      names.map(async (name) => {
        const bytes = await readFile(join(migrationsFolder(), name, 'migration.sql'));
        return [name, createHash('sha256').update(bytes).digest('hex'), true, 1];
      }),
    );
    const found = (await ledger()).map((row) => [
      row.migration_name,
      row.checksum,
      row.finished_at !== null,
      row.applied_steps_count,
    ]);
    expect(found).toEqual(expected);
  });

  it('also makes the queue’s tables, so that nothing migrates at boot', async () => {
    await migrate(database.env);
    const [owner] = await database.sql<{ owner: string }>(
      `SELECT pg_get_userbyid(nspowner) AS owner FROM pg_namespace WHERE nspname = 'bullmq'`,
    );
    expect(owner).toEqual({ owner: 'jarfold_queue' });
    expect(await tableExists('bullmq.migration')).toBe(true);
  });

  it('is empty before and after, and no longer once it has a grower', async () => {
    expect(await isEmptyDatabase(database.env.DATABASE_URL)).toBe(true);
    expect(await pendingMigrations(database.env.DATABASE_URL)).toEqual(names);
    await migrate(database.env);
    expect(await isEmptyDatabase(database.env.DATABASE_URL)).toBe(true);
    await makeGrower(database);
    expect(await isEmptyDatabase(database.env.DATABASE_URL)).toBe(false);
  });
});

describe('a migration that fails half way', () => {
  const BROKEN =
    'CREATE TABLE half_made (id int);\nINSERT INTO half_made VALUES (1);\nSELECT 1 / (id - 1) FROM half_made;';

  it('leaves nothing, says which and why, and can be put right', async () => {
    await addMigration('20990101000000_broken', BROKEN);
    const error = await startUpError(migrate(database.env, { folder }));

    expect(error.code).toBe('migration-failed');
    expect(error.message).toMatch(/20990101000000_broken failed and was undone whole: division by zero/);
    expect(await tableExists('half_made')).toBe(false);
    expect((await ledger()).map((row) => row.migration_name)).toEqual(names);

    await writeFile(join(folder, '20990101000000_broken', 'migration.sql'), BROKEN.replace('1 / (id - 1)', '1'));
    expect(await migrate(database.env, { folder })).toEqual(['20990101000000_broken']);
    expect(await tableExists('half_made')).toBe(true);
  });

  it('names the line of a mistake in its SQL', async () => {
    await addMigration('20990101000000_typo', 'SELECT 1;\nSELECT 2;\nCREATE TABEL typo (id int);');
    expect((await startUpError(migrate(database.env, { folder }))).message).toMatch(/"TABEL" \(line 3\)/);
  });

  it('keeps later migrations waiting', async () => {
    await addMigration('20990101000000_broken', BROKEN);
    await addMigration('20990102000000_later', 'CREATE TABLE later (id int);');
    await startUpError(migrate(database.env, { folder }));
    expect(await tableExists('later')).toBe(false);
  });
});

describe('a migration folder and a database that disagree', () => {
  it('an edited migration is refused and nothing after it is applied', async () => {
    await migrate(database.env, { folder });
    await appendFile(join(folder, names[0]!, 'migration.sql'), '-- a small change\n');
    await addMigration('20990101000000_later', 'CREATE TABLE later (id int);');
    const error = await startUpError(migrate(database.env, { folder }));

    expect(error.code).toBe('migration-edited');
    expect(error.message).toContain(names[0]);
    expect(await tableExists('later')).toBe(false);
  });

  it('a database that a newer version has migrated is left alone', async () => {
    await addMigration('20990101000000_newer', 'CREATE TABLE newer (id int);');
    await migrate(database.env, { folder });
    const error = await startUpError(migrate(database.env));

    expect(error.code).toBe('migration-unknown');
    expect(error.message).toContain('20990101000000_newer');
  });
});

describe('a database that cannot be used', () => {
  const changed = (change: (url: URL) => void): string => {
    const url = new URL(database.env.DATABASE_URL);
    change(url);
    return url.toString();
  };

  it('nobody listening: says where, and not the password', async () => {
    const url = changed((one) => {
      one.port = '9';
    });
    const error = await startUpError(migrate({ DATABASE_URL: url }));

    expect(error.code).toBe('database-unreachable');
    expect(error.message).toMatch(/127\.0\.0\.1:9\/jarfold_test.*cannot be reached \(ECONNREFUSED\)/);
    expect(error.message).not.toContain(new URL(url).password);
  });

  it('a wrong password: says which user', async () => {
    const url = changed((one) => {
      one.password = 'wrong';
    });
    const error = await startUpError(migrate({ DATABASE_URL: url }));
    expect(error).toMatchObject({ code: 'database-refused-password' });
    expect(error.message).toMatch(/refused user "jarfold_owner"/);
  });

  it('no such database: says which', async () => {
    const url = changed((one) => {
      one.pathname = '/nothing_here';
    });
    const error = await startUpError(migrate({ DATABASE_URL: url }));
    expect(error).toMatchObject({ code: 'database-missing' });
    expect(error.message).toMatch(/no database at .*\/nothing_here/);
  });

  describe('owned by a user who may not create roles', () => {
    let weakUrl: string;
    let weak: string;

    beforeEach(async () => {
      weak = `weak_${database.name}`;
      await database.sql(`CREATE ROLE ${weak} LOGIN PASSWORD 'weak'`);
      await database.sql(`ALTER DATABASE ${database.name} OWNER TO ${weak}`);
      weakUrl = changed((url) => {
        url.username = weak;
        url.password = 'weak';
      });
    });
    afterEach(async () => {
      await database.sql(`REASSIGN OWNED BY ${weak} TO jarfold_owner`);
      await database.sql(`DROP OWNED BY ${weak}`);
      await database.sql(`DROP ROLE ${weak}`);
    });

    it('is refused with what to do, and has had nothing', async () => {
      const error = await startUpError(migrate({ DATABASE_URL: weakUrl }));
      expect(error.code).toBe('roles-not-created');
      expect(error.message).toMatch(/CREATEROLE.*DATABASE_APP_URL/);
      expect(await tableExists('grower')).toBe(false);
    });

    it('is migrated when the roles are given', async () => {
      const { app, platform, queue } = database.urls;
      const settings = {
        DATABASE_URL: weakUrl,
        DATABASE_APP_URL: app,
        DATABASE_PLATFORM_URL: platform,
        DATABASE_QUEUE_URL: queue,
      };
      expect(await migrate(settings)).toEqual(names);
      expect(await isEmptyDatabase(weakUrl, settings)).toBe(true);
    });
  });

  it('a serving role that row security does not bind is refused', async () => {
    await migrate(database.env);
    const log = createLog({ write: () => undefined });
    for (const [url, power] of [
      [database.urls.owner, /owns the tables/],
      [database.superuserUrl, /is a superuser/],
    ] as const) {
      const env = platformEnvSchema.parse({ ...database.env, DATABASE_APP_URL: url });
      const error = await startUpError(openPlatform(env, { applicationName: 'test', log }));
      expect(error.code).toBe('role-too-powerful');
      expect(error.message).toMatch(power);
    }
  });
});
