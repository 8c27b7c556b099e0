import { type ChildProcess, fork, spawn } from 'node:child_process';
import { once } from 'node:events';
import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';
import { freePort } from './free-port.js';

const ENTRY = join(import.meta.dirname, '../../apps/worker/dist/main.js');

/** A worker as it runs on a farm: a process of its own. */
export interface WorkerProcess {
  readonly child: ChildProcess;
  /** Everything it wrote so far. */
  output(): string;
  /** As a power cut or an out-of-memory killer would. */
  killHard(): Promise<void>;
  /** As a service manager does. @returns its exit code */
  stop(): Promise<number | null>;
}

export interface WorkerProcessOptions {
  readonly env: Readonly<Record<string, string>>;
}

/** Starts a worker and waits until it says it is ready. Locks are short, so that a takeover takes seconds. */
export async function startWorker({ env }: WorkerProcessOptions): Promise<WorkerProcess> {
  const { PATH = '' } = process.env;
  const child = fork(ENTRY, [], {
    env: { PATH, JARFOLD_JOB_LOCK_MS: '2000', JARFOLD_OUTBOX_POLL_MS: '200', ...env },
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
    // The test runner's own flags are not the worker's.
    execArgv: [],
  });
  let output = '';
  for (const stream of [child.stdout, child.stderr]) {
    stream?.on('data', (data: Buffer) => {
      output += data;
    });
  }
  const gone = once(child, 'exit');
  const ready = once(child, 'message');
  const first = await Promise.race([ready.then(() => 'ready'), gone.then(() => 'gone')]);
  if (first === 'gone') throw new Error(`The worker ended before it was ready:\n${output}`);
  const end = async (signal: NodeJS.Signals): Promise<number | null> => {
    if (child.exitCode === null && child.signalCode === null) child.kill(signal);
    await gone;
    return child.exitCode;
  };
  return {
    child,
    output: () => output,
    killHard: async () => {
      await end('SIGKILL');
    },
    stop: () => end('SIGTERM'),
  };
}

/** Runs a worker that is expected to refuse to start. */
export async function refusedWorker(
  env: Readonly<Record<string, string>>,
): Promise<{ code: number | null; said: string }> {
  const { PATH = '' } = process.env;
  const child = fork(ENTRY, [], { env: { PATH, ...env }, stdio: ['ignore', 'pipe', 'pipe', 'ipc'], execArgv: [] });
  let said = '';
  child.stderr?.on('data', (data: Buffer) => {
    said += data;
  });
  await once(child, 'exit');
  return { code: child.exitCode, said };
}

/** Whether a Redis server is installed here. */
export function hasRedis(): boolean {
  return (process.env.PATH ?? '').split(delimiter).some((folder) => {
    try {
      accessSync(join(folder, 'redis-server'), constants.X_OK);
      return true;
    } catch {
      return false;
    }
  });
}

/** A Redis of its own that keeps nothing. */
export async function startRedis(): Promise<{ readonly url: string; stop(): Promise<void> }> {
  const port = await freePort();
  const settings = ['--port', `${port}`, '--bind', '127.0.0.1', '--save', '', '--appendonly', 'no'];
  const child = spawn('redis-server', [...settings, '--maxmemory-policy', 'noeviction'], {
    stdio: ['ignore', 'pipe', 'ignore'],
  });
  await new Promise<void>((resolve, reject) => {
    child.on('exit', (code) => reject(new Error(`redis-server ended with ${code}.`)));
    child.stdout.on('data', (data: Buffer) => {
      if (data.includes('Ready to accept connections')) resolve();
    });
  });
  const stop = async () => {
    child.removeAllListeners('exit');
    const gone = once(child, 'exit');
    child.kill('SIGTERM');
    await gone;
  };
  return { url: `redis://127.0.0.1:${port}`, stop };
}
