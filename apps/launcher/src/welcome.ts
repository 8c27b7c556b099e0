import { randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import {
  type DemoKind,
  type DemoOrder,
  demoEmail,
  demoToday,
  issueSetUpToken,
  loadDemo,
  type ToldDemo,
  tellDemo,
} from '@jarfold/server';
import {
  createLog,
  loadEnv,
  openPlatform,
  type Platform,
  platformEnvSchema,
  systemClock,
} from '@jarfold/server/platform';

interface Welcome {
  readonly address: string;
  readonly dataFolder: string;
  readonly say: (line: string) => void;
}

/** A demo that is wanted. */
export interface WantedDemo {
  readonly order: DemoOrder;
  /** Its story, being told; undefined for one that was ordered before, which most likely is there already. */
  readonly told?: Promise<ToldDemo>;
}

/** Begins to tell the demo's story, which needs no database. An interrupted demo is continued with the order it had. */
export function wantDemo(kind: DemoKind, dataFolder: string): WantedDemo {
  const before = readOrder(dataFolder);
  if (before) return { order: before };
  const order = { kind, password: randomBytes(9).toString('base64url'), today: demoToday(kind, systemClock) };
  const told = tellDemo(order);
  told.catch(() => undefined); // looked at in its turn; before that it must not count as unhandled
  return { order, told };
}

/**
 * Says how to sign in. An empty database gets the demo when it was asked for, else a set-up link for the first owner; a
 * database with a farm is left alone.
 */
export async function welcome(databaseUrl: string, demo: WantedDemo | null, surroundings: Welcome): Promise<void> {
  const env = loadEnv(platformEnvSchema, { ...process.env, DATABASE_URL: databaseUrl });
  const platform = await openPlatform(env, { applicationName: 'jarfold-launcher', log: createLog({ level: 'error' }) });
  try {
    await (demo === null ? greet(platform, surroundings) : growDemo(platform, demo, surroundings));
  } finally {
    await platform.close();
  }
}

async function greet(platform: Platform, { address, dataFolder, say }: Welcome): Promise<void> {
  const token = await issueSetUpToken(platform.platformDb);
  if (token) say(`To set up your farm, open ${address}/set-up#${token} within a day.`);
  else sayDemoSignIn(dataFolder, say);
}

async function growDemo(platform: Platform, { order, told }: WantedDemo, { dataFolder, say }: Welcome): Promise<void> {
  const isNew = readOrder(dataFolder) === null;
  // Written down before anything is made, for the case that this is interrupted.
  if (isNew) writeOrder(dataFolder, order);
  say('Growing an invented farm, unless there is a farm already …');
  if (!(await loadDemo(platform, order, systemClock, told))) {
    say('The database already holds a farm, so no demo was added.');
    // It is somebody's own farm: nothing of this order can sign in there.
    if (isNew) rmSync(orderFile(dataFolder), { force: true });
  }
  sayDemoSignIn(dataFolder, say);
}

const orderFile = (dataFolder: string): string => join(dataFolder, 'demo.json');

function writeOrder(dataFolder: string, order: DemoOrder): void {
  mkdirSync(dirname(orderFile(dataFolder)), { recursive: true });
  writeFileSync(orderFile(dataFolder), `${JSON.stringify(order)}\n`, { mode: 0o600 });
}

function readOrder(dataFolder: string): DemoOrder | null {
  const file = orderFile(dataFolder);
  return existsSync(file) ? (JSON.parse(readFileSync(file, 'utf8')) as DemoOrder) : null;
}

function sayDemoSignIn(dataFolder: string, say: (line: string) => void): void {
  const order = readOrder(dataFolder);
  if (order) say(`Sign in to the demo with ${demoEmail(order.kind)} and the password ${order.password}`);
}
