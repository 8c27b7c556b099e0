import { randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { type DemoKind, type DemoOrder, demoEmail, demoToday, issueSetUpToken, loadDemo } from '@jarfold/server';
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
  /** Called once the worker would find nothing half made; nobody is told of it when there is nothing to make. */
  readonly onToldWhole: () => void;
}

/**
 * Says how to sign in. An empty database gets the demo when it was asked for, else a set-up link for the first owner; a
 * database with a farm is left alone.
 */
export async function welcome(databaseUrl: string, demo: DemoKind | null, surroundings: Welcome): Promise<void> {
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

async function growDemo(platform: Platform, kind: DemoKind, { dataFolder, say, onToldWhole }: Welcome): Promise<void> {
  // The order is written down before anything is made: an interrupted demo is continued with the same one.
  const order = readOrder(dataFolder) ?? newOrder(kind, dataFolder);
  say('Growing an invented farm, unless there is a farm already …');
  if (!(await loadDemo(platform, order, systemClock, onToldWhole)))
    say('The database already holds a farm, so no demo was added.');
  sayDemoSignIn(dataFolder, say);
}

const orderFile = (dataFolder: string): string => join(dataFolder, 'demo.json');

function newOrder(kind: DemoKind, dataFolder: string): DemoOrder {
  const order = { kind, password: randomBytes(9).toString('base64url'), today: demoToday(kind, systemClock) };
  mkdirSync(dirname(orderFile(dataFolder)), { recursive: true });
  writeFileSync(orderFile(dataFolder), `${JSON.stringify(order)}\n`, { mode: 0o600 });
  return order;
}

function readOrder(dataFolder: string): DemoOrder | null {
  const file = orderFile(dataFolder);
  return existsSync(file) ? (JSON.parse(readFileSync(file, 'utf8')) as DemoOrder) : null;
}

function sayDemoSignIn(dataFolder: string, say: (line: string) => void): void {
  const order = readOrder(dataFolder);
  if (order) say(`Sign in to the demo with ${demoEmail(order.kind)} and the password ${order.password}`);
}
