import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { until } from './until.js';

const ENTRY = fileURLToPath(new URL('../../apps/launcher/dist/main.js', import.meta.url));
/** A start takes its time on a busy machine. */
export const START_TIMEOUT_MS = 60_000;

export interface LaunchedFarm {
  readonly process: ChildProcess;
  readonly address: string;
  /** Everything it printed so far, both streams. */
  output(): string;
  /** Resolves to its exit code when it has ended by itself or by a signal. */
  readonly ended: Promise<number | null>;
  stop(signal?: NodeJS.Signals): Promise<number | null>;
}

export interface LaunchOptions {
  readonly folder: string;
  readonly port: number;
  readonly args?: readonly string[];
  readonly env?: Readonly<Record<string, string>>;
}

/** Starts the built launcher as a person would, without waiting for anything. */
export function launch({ folder, port, args = [], env = {} }: LaunchOptions): LaunchedFarm {
  const { DATABASE_URL: _url, REDIS_URL: _redis, ...inherited } = process.env;
  const child = spawn(process.execPath, [ENTRY, ...args], {
    env: { ...inherited, JARFOLD_DATA: folder, PORT: String(port), ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let text = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (data: Buffer) => (text += data.toString()));
  const ended = new Promise<number | null>((resolve) => child.on('close', (code) => resolve(code)));
  return {
    process: child,
    address: `http://localhost:${port}`,
    output: () => text,
    ended,
    stop: (signal = 'SIGTERM') => {
      child.kill(signal);
      return ended;
    },
  };
}

/** Starts it and waits until it says that it is ready. */
export async function launchReady(options: LaunchOptions): Promise<LaunchedFarm> {
  const farm = launch(options);
  await until(
    'the launcher to be ready',
    () => {
      if (farm.process.exitCode !== null) throw new Error(`The launcher ended early:\n${farm.output()}`);
      return farm.output().includes('Jarfold is ready');
    },
    START_TIMEOUT_MS,
  );
  return farm;
}

export async function answers(url: string): Promise<number | null> {
  return fetch(url, { signal: AbortSignal.timeout(2000) }).then(
    ({ status }) => status,
    () => null,
  );
}

export function temporaryFolder(): { readonly path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), 'jarfold-start-'));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}
