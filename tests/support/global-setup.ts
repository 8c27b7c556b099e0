import { randomBytes } from 'node:crypto';
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
// The built package: this file runs outside Jest's module mapping.
import { migrate, startEmbeddedPostgres } from '@jarfold/server/platform';
import pg from 'pg';

/** What the test files need to make databases of their own; handed over in the environment. */
interface TestServer {
  readonly superuserUrl: string;
  /** Where the databases come from, for the record. */
  readonly source: string;
  stop(): Promise<void>;
}

declare global {
  var jarfoldTestServer: { stop(): Promise<void> } | undefined;
}

const OWNER = 'jarfold_owner';

/** Starts (or finds) a PostgreSQL and makes the migrated template that every test file copies. */
export default async function globalSetup(): Promise<void> {
  if (globalThis.jarfoldTestServer) return; // two projects of one run share it
  const server = await findServer();
  globalThis.jarfoldTestServer = server;
  const run = randomBytes(4).toString('hex');
  const template = `jarfold_template_${run}`;
  const ownerPassword = await makeOwner(server.superuserUrl);
  await makeTemplate(server.superuserUrl, template, ownerPassword);
  globalThis.jarfoldTestServer = { stop: () => dropAll(server, run) };
  process.env.JARFOLD_TEST_SUPERUSER_URL = server.superuserUrl;
  process.env.JARFOLD_TEST_OWNER_PASSWORD = ownerPassword;
  process.env.JARFOLD_TEST_RUN = run;
  process.env.JARFOLD_TEST_TEMPLATE = template;
  process.env.JARFOLD_LOG_LEVEL ??= 'error'; // one line per request would bury the results
}

/** A given server, or one in a container where an engine answers, or the packaged one in a temporary folder. */
async function findServer(): Promise<TestServer> {
  const given = process.env.TEST_DATABASE_URL;
  if (given) return { superuserUrl: given, source: 'TEST_DATABASE_URL', stop: async () => undefined };
  return (await containerServer()) ?? (await embeddedServer());
}

async function containerServer(): Promise<TestServer | null> {
  try {
    const { GenericContainer, getContainerRuntimeClient, Wait } = await import('testcontainers');
    await getContainerRuntimeClient();
    const password = randomBytes(12).toString('hex');
    const container = await new GenericContainer('postgres:18')
      .withEnvironment({ POSTGRES_PASSWORD: password })
      .withExposedPorts(5432)
      .withWaitStrategy(Wait.forLogMessage(/ready to accept connections/, 2))
      .start();
    const address = `${container.getHost()}:${container.getMappedPort(5432)}`;
    const stop = async () => {
      await container.stop();
    };
    return { superuserUrl: `postgresql://postgres:${password}@${address}/postgres`, source: 'container', stop };
  } catch (error) {
    // No engine, or an engine without the image and without a network: the packaged server does the same work.
    const reason = (error as Error).message.split('\n')[0];
    process.stderr.write(`Database in a container: skipped: no Docker (${reason}); using the packaged PostgreSQL.\n`);
    return null;
  }
}

async function embeddedServer(): Promise<TestServer> {
  await sweepAbandoned();
  const dataDir = await mkdtemp(join(tmpdir(), `${FOLDER}${process.pid}-`));
  const server = await startEmbeddedPostgres({ dataDir, throwaway: true });
  const stop = async () => {
    await server.stop();
    await rm(dataDir, { recursive: true, force: true });
  };
  return { superuserUrl: server.superuserUrl, source: 'packaged', stop };
}

const FOLDER = 'jarfold-test-';

/** A run that was killed leaves its server and folder behind; the next one tidies up after it. */
async function sweepAbandoned(): Promise<void> {
  for (const name of await readdir(tmpdir())) {
    const pid = Number(/^jarfold-test-(\d+)-/.exec(name)?.[1]);
    if (!Number.isInteger(pid) || signal(pid, 0)) continue;
    const lock = await readFile(join(tmpdir(), name, 'postgres', 'postmaster.pid'), 'utf8').catch(() => '');
    const server = Number(lock.split('\n')[0]);
    const command = await readFile(`/proc/${server}/cmdline`, 'utf8').catch(() => '');
    if (command.includes(name)) signal(server, 'SIGQUIT');
    await rm(join(tmpdir(), name), { recursive: true, force: true, maxRetries: 5 });
  }
}

function signal(pid: number, name: NodeJS.Signals | 0): boolean {
  try {
    return pid > 0 && process.kill(pid, name);
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/** The owner is no superuser, as on a farm: otherwise row security would not bind it and tests would prove less. */
async function makeOwner(superuserUrl: string): Promise<string> {
  // The same for every run on one server: the roles' passwords derive from it and belong to the whole server.
  const password = `test-owner-${decodeURIComponent(new URL(superuserUrl).password)}`;
  await asSuperuser(superuserUrl, async (client) => {
    const { rowCount } = await client.query('SELECT FROM pg_roles WHERE rolname = $1', [OWNER]);
    const verb = rowCount === 0 ? 'CREATE' : 'ALTER';
    await client.query(`${verb} ROLE ${OWNER} LOGIN CREATEROLE PASSWORD ${client.escapeLiteral(password)}`);
  });
  return password;
}

async function makeTemplate(superuserUrl: string, template: string, ownerPassword: string): Promise<void> {
  await asSuperuser(superuserUrl, (client) => client.query(`CREATE DATABASE ${template} OWNER ${OWNER}`));
  const url = new URL(superuserUrl);
  url.username = OWNER;
  url.password = encodeURIComponent(ownerPassword);
  url.pathname = `/${template}`;
  await migrate({ DATABASE_URL: url.toString() });
  // Nobody may be connected to a template that is copied.
  await asSuperuser(superuserUrl, (client) =>
    client.query(`ALTER DATABASE ${template} IS_TEMPLATE true ALLOW_CONNECTIONS false`),
  );
}

async function dropAll(server: TestServer, run: string): Promise<void> {
  if (server.source === 'TEST_DATABASE_URL') {
    await asSuperuser(server.superuserUrl, async (client) => {
      const like = `jarfold\\_%\\_${run}%`;
      const { rows } = await client.query<{ datname: string }>(
        'SELECT datname FROM pg_database WHERE datname LIKE $1',
        [like],
      );
      for (const { datname } of rows) {
        await client.query(`ALTER DATABASE ${datname} IS_TEMPLATE false`);
        await client.query(`DROP DATABASE ${datname} WITH (FORCE)`);
      }
    });
  }
  await server.stop();
}

async function asSuperuser<T>(url: string, work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    return await work(client);
  } finally {
    await client.end();
  }
}
