import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { issueSetUpToken } from '@jarfold/server';
import { createTestDatabase, type TestDatabase } from '../../support/test-database.js';

const ENTRY = fileURLToPath(new URL('../../../apps/api/dist/main.js', import.meta.url));
const PAGE = fileURLToPath(new URL('../../../apps/web/dist/app/index.html', import.meta.url));
const START_TIMEOUT_MS = 30_000;

/** The built server with the built pages, as a process of its own on a database of its own. */
export interface ServedFarm {
  readonly address: string;
  readonly database: TestDatabase;
  /** The code a person would read on the console of a server without a farm. */
  setUpCode(): Promise<string>;
  /** Stops the server but keeps the database: what a person sees when it cannot be reached. */
  stopServer(): Promise<void>;
  close(): Promise<void>;
}

export async function serveFarm(): Promise<ServedFarm> {
  for (const built of [ENTRY, PAGE]) {
    if (!existsSync(built)) throw new Error(`${built} is missing: run \`npm run build\` before the browser tests.`);
  }
  const database = await createTestDatabase();
  const { child, address } = await start(database);
  const stopServer = () => stop(child);
  return {
    address,
    database,
    setUpCode: async () => {
      const token = await issueSetUpToken(database.platformDb);
      if (token === null) throw new Error('This server has a farm already.');
      return token;
    },
    stopServer,
    close: async () => {
      await stopServer();
      await database.close();
    },
  };
}

async function start(database: TestDatabase): Promise<{ child: ChildProcess; address: string }> {
  const child = spawn(process.execPath, [ENTRY], {
    env: {
      ...process.env,
      ...database.env,
      PORT: '0',
      JARFOLD_LOG_LEVEL: 'error',
      JARFOLD_REQUESTS_PER_MINUTE: '100000',
    },
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
  });
  let output = '';
  for (const stream of [child.stdout, child.stderr]) stream?.on('data', (data: Buffer) => (output += data.toString()));
  const address = await new Promise<string>((resolve, reject) => {
    const late = setTimeout(() => reject(new Error(`The server did not listen in time:\n${output}`)), START_TIMEOUT_MS);
    child.on('message', (message: { kind?: string; address?: string }) => {
      if (message.kind !== 'listening' || !message.address) return;
      clearTimeout(late);
      resolve(message.address);
    });
    child.on('exit', (code) => {
      clearTimeout(late);
      reject(new Error(`The server ended with ${code}:\n${output}`));
    });
  });
  return { child, address };
}

async function stop(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const ended = new Promise((resolve) => child.once('exit', resolve));
  child.kill('SIGTERM');
  await ended;
}
