import { type ChildProcess, fork } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { issueSetUpToken } from '@jarfold/server';
import { createTestDatabase, type TestDatabase } from '../../support/test-database.js';

const API = fileURLToPath(new URL('../../../apps/api/dist/main.js', import.meta.url));
const WORKER = fileURLToPath(new URL('../../../apps/worker/dist/main.js', import.meta.url));
const PAGE = fileURLToPath(new URL('../../../apps/web/dist/app/index.html', import.meta.url));
const START_TIMEOUT_MS = 60_000;

/** The built server and worker with the built pages, as processes of their own on a database of their own. */
export interface ServedFarm {
  readonly address: string;
  readonly database: TestDatabase;
  /** The code a person would read on the console of a server without a farm. */
  setUpCode(): Promise<string>;
  close(): Promise<void>;
}

interface Message {
  readonly kind?: string;
  readonly address?: string;
}

export async function serveFarm(): Promise<ServedFarm> {
  for (const built of [API, WORKER, PAGE]) {
    if (!existsSync(built)) throw new Error(`${built} is missing: run \`npm run build\` before the browser tests.`);
  }
  const database = await createTestDatabase();
  const api = await start(API, database, { PORT: '0', JARFOLD_REQUESTS_PER_MINUTE: '100000' });
  const worker = await start(WORKER, database, {});
  return {
    address: api.message.address ?? '',
    database,
    setUpCode: async () => {
      const token = await issueSetUpToken(database.platformDb);
      if (token === null) throw new Error('This server has a farm already.');
      return token;
    },
    close: async () => {
      await Promise.all([stop(api.child), stop(worker.child)]);
      await database.close();
    },
  };
}

/** One more server process on the same farm, such as one that speaks TLS. */
export async function serveMore(
  { database }: Pick<ServedFarm, 'database'>,
  env: Readonly<Record<string, string>>,
): Promise<{ readonly address: string; close(): Promise<void> }> {
  const api = await start(API, database, { PORT: '0', JARFOLD_REQUESTS_PER_MINUTE: '100000', ...env });
  return { address: api.message.address ?? '', close: () => stop(api.child) };
}

/** Starts a process and waits for its first message, by which it says that it is ready. */
async function start(
  entry: string,
  database: TestDatabase,
  env: Readonly<Record<string, string>>,
): Promise<{ child: ChildProcess; message: Message }> {
  const child = fork(entry, [], {
    env: { ...process.env, ...database.env, JARFOLD_LOG_LEVEL: 'error', ...env },
    execArgv: [],
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
  });
  running.add(child);
  let output = '';
  for (const stream of [child.stdout, child.stderr]) stream?.on('data', (data: Buffer) => (output += data.toString()));
  const message = await new Promise<Message>((resolve, reject) => {
    const late = setTimeout(() => reject(new Error(`${entry} was not ready in time:\n${output}`)), START_TIMEOUT_MS);
    child.once('message', (said: Message) => {
      clearTimeout(late);
      resolve(said);
    });
    child.once('exit', (code) => {
      clearTimeout(late);
      reject(new Error(`${entry} ended with ${code}:\n${output}`));
    });
  });
  return { child, message };
}

/** What a failed start left behind must not outlive the tests. */
const running = new Set<ChildProcess>();
process.once('exit', () => {
  for (const child of running) child.kill('SIGKILL');
});

async function stop(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const ended = new Promise((resolve) => child.once('exit', resolve));
  child.kill('SIGTERM');
  await ended;
}
