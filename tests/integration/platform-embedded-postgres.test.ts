import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { cp, mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type EmbeddedPostgres, StartUpError, startEmbeddedPostgres } from '@jarfold/server/platform';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from '@jest/globals';
import pg from 'pg';

let root: string;
/** A folder that was initialised once; tests that need data work on a copy. */
let prepared: string;
let dataDir: string;
const running: EmbeddedPostgres[] = [];

beforeAll(async () => {
  root = await mkdtemp(join(tmpdir(), 'jarfold-embedded-'));
  prepared = join(root, 'prepared');
  const server = await startEmbeddedPostgres({ dataDir: prepared });
  await run(server.ownerUrl, 'CREATE TABLE kept (what text); ');
  await run(server.ownerUrl, `INSERT INTO kept VALUES ('written before the stop')`);
  await server.stop();
});
afterAll(() => rm(root, { recursive: true, force: true }));

beforeEach(async () => {
  dataDir = await mkdtemp(join(root, 'farm-'));
});
afterEach(async () => {
  await Promise.all(running.splice(0).map((server) => server.stop()));
  await rm(dataDir, { recursive: true, force: true });
});

async function start(options: Partial<Parameters<typeof startEmbeddedPostgres>[0]> = {}): Promise<EmbeddedPostgres> {
  const server = await startEmbeddedPostgres({ dataDir, ...options });
  running.push(server);
  return server;
}

async function run(url: string, sql: string): Promise<pg.QueryResultRow[]> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    return (await client.query(sql)).rows;
  } finally {
    await client.end();
  }
}

/** What a restored backup is: files that root or the farmer owns. */
const restoreCopy = () => cp(prepared, dataDir, { recursive: true });

async function refused(options: Partial<Parameters<typeof startEmbeddedPostgres>[0]> = {}): Promise<StartUpError> {
  const error = await start(options).then(
    () => null,
    (thrown: unknown) => thrown,
  );
  expect(error).toBeInstanceOf(StartUpError);
  return error as StartUpError;
}

const lockFile = () => join(dataDir, 'postgres', 'postmaster.pid');
const serverPid = async () => Number((await readFile(lockFile(), 'utf8')).split('\n')[0]);

describe('the packaged PostgreSQL, started from a copied folder', () => {
  let server: EmbeddedPostgres;
  let copy: string;

  beforeAll(async () => {
    copy = await mkdtemp(join(root, 'copy-'));
    await cp(prepared, copy, { recursive: true });
    server = await startEmbeddedPostgres({ dataDir: copy });
  });
  afterAll(() => server.stop());

  it('has what was written before, and a role for it that is no superuser', async () => {
    expect(await run(server.ownerUrl, 'SELECT what FROM kept')).toEqual([{ what: 'written before the stop' }]);
    const [role] = await run(
      server.ownerUrl,
      'SELECT rolsuper, rolbypassrls, rolcreaterole FROM pg_roles WHERE rolname = current_user',
    );
    expect(role).toEqual({ rolsuper: false, rolbypassrls: false, rolcreaterole: true });
  });

  it('is durable: fsync, full page writes, synchronous commit and page checksums are on', async () => {
    const names = ['data_checksums', 'fsync', 'full_page_writes', 'synchronous_commit'];
    const rows = await run(
      server.ownerUrl,
      `SELECT name, setting FROM pg_settings WHERE name IN (${names.map((name) => `'${name}'`)}) ORDER BY name`,
    );
    expect(rows).toEqual(names.map((name) => ({ name, setting: 'on' })));
  });

  it('listens on this machine only', async () => {
    const [row] = await run(server.ownerUrl, `SELECT current_setting('listen_addresses') AS addresses`);
    expect(row).toEqual({ addresses: '127.0.0.1' });
  });

  it('asks for the password', async () => {
    const url = server.ownerUrl.replace(/:[^:@]+@/, ':guess@');
    await expect(run(url, 'SELECT 1')).rejects.toMatchObject({ code: '28P01' });
  });

  it('refuses a second start on its folder, naming folder and process', async () => {
    const error = await refused({ dataDir: copy });
    const pid = Number((await readFile(join(copy, 'postgres', 'postmaster.pid'), 'utf8')).split('\n')[0]);
    expect(error.code).toBe('data-folder-locked');
    expect(error.message).toContain(copy);
    expect(error.message).toContain(`process ${pid}`);
  });
});

describe('after something went wrong, the packaged PostgreSQL', () => {
  it('keeps what was committed when the server is killed with -9, and starts again by itself', async () => {
    await restoreCopy();
    const first = await start();
    await run(first.ownerUrl, `INSERT INTO kept VALUES ('committed just before')`);
    process.kill(await serverPid(), 'SIGKILL');
    await first.ended;

    const second = await start();
    const rows = await run(second.ownerUrl, `SELECT what FROM kept WHERE what = 'committed just before'`);
    expect(rows).toHaveLength(1);
  });

  it('is not fooled by an old lock whose process number belongs to another program now', async () => {
    await restoreCopy();
    const other = spawn('sleep', ['60']);
    await writeFile(lockFile(), `${other.pid}\n${join(dataDir, 'postgres')}\n0\n5432\n\n127.0.0.1\n0 0\nready\n`);
    try {
      const server = await start();
      expect(await run(server.ownerUrl, 'SELECT 1 AS one')).toEqual([{ one: 1 }]);
    } finally {
      other.kill();
      await once(other, 'exit');
    }
  });

  it('takes over such a folder when told that its starter is gone', async () => {
    await restoreCopy();
    const orphan = await start();
    await run(orphan.ownerUrl, `INSERT INTO kept VALUES ('by the orphan')`);
    const server = await start({ takeOver: true });
    await orphan.ended;
    expect(await run(server.ownerUrl, `SELECT what FROM kept WHERE what = 'by the orphan'`)).toHaveLength(1);
  });
});

describe('the packaged PostgreSQL refuses to start', () => {
  it('on data of another major version, naming both', async () => {
    await mkdir(join(dataDir, 'postgres'));
    await writeFile(join(dataDir, 'postgres', 'PG_VERSION'), '17\n');
    const error = await refused();
    expect(error.code).toBe('other-major-version');
    expect(error.message).toMatch(/PostgreSQL 17 .* PostgreSQL 18/);
  });

  it('in a folder that cannot be written to', async () => {
    await writeFile(join(dataDir, 'a-file'), '');
    const error = await refused({ dataDir: join(dataDir, 'a-file', 'below') });
    expect(error.code).toBe('folder-not-writable');
    expect(error.message).toMatch(/cannot be written to \(ENOTDIR\).*JARFOLD_DATA/);
  });

  it('on a folder that is not a data folder, and does not touch it', async () => {
    await mkdir(join(dataDir, 'postgres'));
    await writeFile(join(dataDir, 'postgres', 'letter.txt'), 'mine');
    expect((await refused()).code).toBe('data-folder-damaged');
    expect(await readFile(join(dataDir, 'postgres', 'letter.txt'), 'utf8')).toBe('mine');
  });

  it('on a port that is taken, naming it', async () => {
    await restoreCopy();
    const taken = createServer().listen(0, '127.0.0.1');
    await once(taken, 'listening');
    const { port } = taken.address() as { port: number };
    try {
      const error = await refused({ port });
      expect(error.message).toMatch(new RegExp(`cannot listen on 127\\.0\\.0\\.1:${port}`));
    } finally {
      taken.close();
    }
  });
});

describe('stopping', () => {
  it('twice is done without complaint', async () => {
    await restoreCopy();
    const server = await start();
    await Promise.all([server.stop(), server.stop()]);
    await server.stop();
    await expect(run(server.ownerUrl, 'SELECT 1')).rejects.toMatchObject({ code: 'ECONNREFUSED' });
  });
});
