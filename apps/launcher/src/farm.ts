import { join } from 'node:path';
import { StartUpError } from '@jarfold/server/platform';
import type { LauncherArguments } from './arguments.js';
import { type ChildProcesses, keepAlive } from './child-processes.js';
import { openDatabase } from './database.js';
import { lockFolder } from './folder-lock.js';
import { authorityFingerprint, localTls, namesOfThisMachine } from './local-authority.js';
import { isLoopback, type LauncherSettings } from './settings.js';
import { welcome } from './welcome.js';

interface Surroundings {
  readonly say: (line: string) => void;
  /** Aborted when the person wants everything stopped. */
  readonly stop: AbortSignal;
}

/** Starts every part in order, waits for the wish to stop, and stops them in the reverse order. */
export async function startFarm(
  settings: LauncherSettings,
  wanted: LauncherArguments,
  { say, stop }: Surroundings,
): Promise<void> {
  const tls = await tlsFor(settings);
  const address = `${tls ? 'https' : 'http'}://${shownHost(settings.host)}:${settings.port}`;
  const undo: (() => Promise<void> | void)[] = [];
  try {
    const lock = settings.databaseUrl === null ? lockFolder(settings.dataFolder, address) : null;
    if (lock) undo.push(lock.release);
    if (settings.databaseUrl === null) say(`Opening the farm in ${settings.dataFolder} …`);
    const database = await openDatabase(settings, say);
    undo.push(database.stop);
    await welcome(database.url, wanted.demo, { address, dataFolder: settings.dataFolder, say });
    const env = {
      DATABASE_URL: database.url,
      HOST: settings.host,
      PORT: String(settings.port),
      // A person at the console wants sentences; whoever wants every line asks for it.
      JARFOLD_LOG_LEVEL: process.env.JARFOLD_LOG_LEVEL ?? 'warn',
      ...(tls ? { JARFOLD_TLS_CERT: tls.certPath, JARFOLD_TLS_KEY: tls.keyPath } : {}),
      ...(tls?.authorityPath ? { JARFOLD_TLS_AUTHORITY: tls.authorityPath } : {}),
    };
    let giveUp: (reason: StartUpError) => void = () => undefined;
    const givenUp = new Promise<never>((_, reject) => {
      giveUp = reject;
    });
    givenUp.catch(() => undefined); // looked at below; before that it must not count as unhandled
    const start = (name: 'api' | 'worker'): Promise<ChildProcesses> =>
      keepAlive({
        name,
        env,
        stopping: stop,
        onGivenUp: (sentence) => giveUp(new StartUpError('process-ended', sentence)),
      });
    if (stop.aborted) return;
    // Side by side, as each spends most of its start reading its own code; what did start is stopped if the other did not.
    const started = await Promise.allSettled([start('api'), start('worker')]);
    undo.push(async () => {
      await Promise.all(started.map((child) => (child.status === 'fulfilled' ? child.value.stop() : undefined)));
    });
    const failed = started.find((child) => child.status === 'rejected');
    // Whoever stops it during the start also ends the children: that is no failure to be told.
    if (stop.aborted) return;
    if (failed) throw failed.reason;
    say(`Jarfold is ready: ${address}`);
    if (tls?.authorityPath) say(await tabletAdvice(address, tls.authorityPath));
    say('Stop it with Ctrl-C.');
    await Promise.race([givenUp, aborted(stop)]);
  } finally {
    for (const step of undo.reverse()) await step();
  }
}

interface Tls {
  readonly certPath: string;
  readonly keyPath: string;
  readonly authorityPath?: string;
}

/** Beyond this machine tablets need a secure context: the given certificate, or one of the farm's own authority. */
async function tlsFor(settings: LauncherSettings): Promise<Tls | null> {
  if (settings.ownCertificate) return settings.ownCertificate;
  if (isLoopback(settings.host) || settings.behindProxy) return null;
  const names = namesOfThisMachine();
  const wanted = /^(0\.0\.0\.0|::)$/.test(settings.host) ? names : [...new Set([settings.host, ...names])];
  return localTls(join(settings.dataFolder, 'tls'), wanted, Date.now());
}

/** 0.0.0.0 is no address a person can open: show the first name this machine answers to. */
function shownHost(host: string): string {
  if (/^(0\.0\.0\.0|::)$/.test(host)) return namesOfThisMachine()[0] ?? 'localhost';
  return host.includes(':') ? `[${host}]` : host;
}

async function tabletAdvice(address: string, authorityPath: string): Promise<string> {
  return [
    `A tablet trusts this farm once: open ${address}/trust on it and follow the steps there.`,
    `Compare the fingerprint it shows with this one: ${await authorityFingerprint(authorityPath)}`,
  ].join('\n');
}

const aborted = (signal: AbortSignal): Promise<void> =>
  new Promise((resolve) => {
    if (signal.aborted) resolve();
    else signal.addEventListener('abort', () => resolve(), { once: true });
  });
