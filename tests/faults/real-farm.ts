import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { createLog, migrate, openPlatform, type Platform, startEmbeddedPostgres } from '@jarfold/server/platform';
import pg from 'pg';
import { freePort } from '../support/free-port.js';

export type Part = 'api' | 'worker' | 'postgres';

/** Jarfold as it runs on a farm: PostgreSQL with all its safety on, an API and a worker, each a process that can be killed. */
export class RealFarm {
  readonly kills: Record<Part, number> = { api: 0, worker: 0, postgres: 0 };
  apiPort = 0;
  platform!: Platform;
  #dataDir = '';
  #postgresPort = 0;
  #ownerUrl = '';
  #superuserUrl = '';
  #api: ChildProcess | null = null;
  #worker: ChildProcess | null = null;
  #stop: () => Promise<void> = async () => undefined;

  async start(): Promise<void> {
    this.#dataDir = await mkdtemp(join(tmpdir(), 'jarfold-level-b-'));
    this.#postgresPort = await freePort();
    this.apiPort = await freePort();
    await this.#startPostgres();
    await migrate({ DATABASE_URL: this.#ownerUrl });
    this.platform = await openPlatform(
      { DATABASE_URL: this.#ownerUrl } as never,
      // Connections that are killed with the database are what this is about, and no news.
      { applicationName: 'level-b', log: createLog({ write: () => undefined }) },
    );
    await Promise.all([this.#startApi(), this.#startWorker()]);
  }

  /** As a power cut takes a process, and what a service manager does next. */
  async killAndRestart(part: Part): Promise<void> {
    this.kills[part] += 1;
    if (part === 'postgres') {
      const pid = Number((await readFile(join(this.#dataDir, 'postgres', 'postmaster.pid'), 'utf8')).split('\n')[0]);
      process.kill(pid, 'SIGKILL');
      await sleep(200);
      return this.#startPostgres();
    }
    const child = part === 'api' ? this.#api : this.#worker;
    const gone = child && child.exitCode === null ? once(child, 'exit') : null;
    child?.kill('SIGKILL');
    await gone;
    return part === 'api' ? this.#startApi() : this.#startWorker();
  }

  /** Runs SQL as the superuser, on a connection of its own. */
  sql = async <Row extends pg.QueryResultRow>(text: string, values: readonly unknown[] = []): Promise<Row[]> => {
    const url = new URL(this.#superuserUrl);
    url.pathname = '/jarfold';
    const client = new pg.Client({ connectionString: url.toString() });
    await client.connect();
    try {
      return (await client.query<Row>(text, [...values])).rows;
    } finally {
      await client.end();
    }
  };

  async close(): Promise<void> {
    for (const child of [this.#api, this.#worker]) {
      if (!child || child.exitCode !== null) continue;
      const gone = once(child, 'exit');
      child.kill('SIGKILL');
      await gone;
    }
    await this.platform.close();
    await this.#stop();
    await rm(this.#dataDir, { recursive: true, force: true });
  }

  async #startPostgres(): Promise<void> {
    const server = await startEmbeddedPostgres({ dataDir: this.#dataDir, port: this.#postgresPort, takeOver: true });
    this.#ownerUrl = server.ownerUrl;
    this.#superuserUrl = server.superuserUrl;
    this.#stop = () => server.stop();
  }

  async #startApi(): Promise<void> {
    this.#api = await started('api', {
      DATABASE_URL: this.#ownerUrl,
      PORT: String(this.apiPort),
      JARFOLD_SIGN_UP: 'open',
      JARFOLD_REQUESTS_PER_MINUTE: '1000000',
    });
  }

  async #startWorker(): Promise<void> {
    this.#worker = await started('worker', { DATABASE_URL: this.#ownerUrl });
  }
}

/** Starts a part, again and again while what it needs is still coming back; ready when it says so. */
async function started(part: 'api' | 'worker', env: Record<string, string>): Promise<ChildProcess> {
  for (let tries = 0; ; tries += 1) {
    const main = join(import.meta.dirname, `../../apps/${part}/dist/main.js`);
    const child = fork(main, [], {
      env: { PATH: process.env.PATH ?? '', ...env },
      stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
      execArgv: [],
    });
    let words = '';
    child.stderr?.on('data', (data) => {
      words += data;
    });
    const outcome = await Promise.race([
      once(child, 'message').then(() => 'ready'),
      once(child, 'exit').then(() => 'gone'),
    ]);
    if (outcome === 'ready') return child;
    if (tries > 20) throw new Error(`The ${part} does not come back: ${words.slice(-500)}`);
    await sleep(500);
  }
}
