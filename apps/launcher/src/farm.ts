import { join } from 'node:path';
import type { LauncherArguments } from './arguments.js';
import { openDatabase } from './database.js';
import { farmParts, PARTS } from './farm-parts.js';
import { lockFolder } from './folder-lock.js';
import { authorityFingerprint, localTls, namesOfThisMachine } from './local-authority.js';
import { isLoopback, type LauncherSettings } from './settings.js';

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
  const parts = farmParts(partsEnv(settings, tls), stop);
  try {
    const lock = settings.databaseUrl === null ? lockFolder(settings.dataFolder, address) : null;
    if (lock) undo.push(lock.release);
    undo.push(parts.stop);
    // Where a demo is grown there is enough to do already, and each is started where a processor is free for it.
    if (wanted.demo === null) for (const name of PARTS) parts.start(name);
    if (settings.databaseUrl === null) say(`Opening the farm in ${settings.dataFolder} …`);
    // It brings the whole service along, which is read while the database comes up; and a demo's story is told.
    const reading = import('./welcome.js').then(({ welcome, wantDemo }) => ({
      welcome,
      demo: wanted.demo === null ? null : wantDemo(wanted.demo, settings.dataFolder),
    }));
    reading.catch(() => undefined); // looked at in its turn; before that it must not count as unhandled
    const database = await openDatabase(settings, say);
    // What stands on the database is stopped before it; stopping the parts a second time does nothing.
    undo.push(database.stop, parts.stop);
    const env = { DATABASE_URL: database.url };
    // The API only answers, and nobody knows its address yet; the worker would plan a demo that is still growing.
    parts.begin('api', env);
    const { welcome, demo } = await reading;
    await welcome(database.url, demo, { address, dataFolder: settings.dataFolder, say });
    if (stop.aborted) return;
    // Whoever asked for a demo waits for its pages. The worker does what nobody waits for, and comes after them.
    if (wanted.demo === null) parts.begin('worker', env);
    await parts.ready();
    if (stop.aborted) return;
    say(`Jarfold is ready: ${address}`);
    if (tls?.authorityPath) say(await tabletAdvice(address, tls.authorityPath));
    say('Stop it with Ctrl-C.');
    parts.begin('worker', env);
    await parts.ready();
    await Promise.race([parts.givenUp, aborted(stop)]);
  } finally {
    for (const step of undo.reverse()) await step();
  }
}

function partsEnv(settings: LauncherSettings, tls: Tls | null): Readonly<Record<string, string>> {
  return {
    HOST: settings.host,
    PORT: String(settings.port),
    // A person at the console wants sentences; whoever wants every line asks for it.
    JARFOLD_LOG_LEVEL: process.env.JARFOLD_LOG_LEVEL ?? 'warn',
    ...(tls ? { JARFOLD_TLS_CERT: tls.certPath, JARFOLD_TLS_KEY: tls.keyPath } : {}),
    ...(tls?.authorityPath ? { JARFOLD_TLS_AUTHORITY: tls.authorityPath } : {}),
  };
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
