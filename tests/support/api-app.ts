import { randomBytes, randomUUID } from 'node:crypto';
import { createGrower, WatchService } from '@jarfold/server';
import { type Clock, type StaffRole, systemClock } from '@jarfold/server/platform';
import { type Api, createApp, type ServedRoute } from '../../apps/api/src/create-app.js';
import { type ApiSettings, apiSettings } from '../../apps/api/src/settings.js';
import { hashPassword } from '../../libs/server/src/identity/password-hash.js';
import { fileExporter, fileImporter } from './file-worker.js';
import { createTestDatabase, type TestDatabase } from './test-database.js';

/** What came back, with the body read as JSON where it is JSON. */
export interface Answer {
  readonly status: number;
  readonly headers: Readonly<Record<string, string | string[] | number | undefined>>;
  // biome-ignore lint/suspicious/noExplicitAny: tests look into bodies of every shape
  readonly body: any;
  readonly text: string;
  /** What came back as it came, for files. */
  readonly bytes: Buffer;
}

export interface Call {
  readonly method: string;
  readonly url: string;
  readonly body?: unknown;
  readonly headers?: Readonly<Record<string, string>>;
}

/** A farm with somebody of it signed in. Every text of the farm carries the canary, so a leak of it can be found. */
export interface World {
  readonly growerId: string;
  readonly staffId: string;
  readonly role: StaffRole;
  readonly email: string;
  readonly password: string;
  readonly canary: string;
  readonly cookie: string;
  call(method: string, url: string, body?: unknown, headers?: Readonly<Record<string, string>>): Promise<Answer>;
  /** Somebody else of the same farm, signed in. */
  colleague(role: StaffRole): Promise<World>;
  /** The same person by a new session. */
  signInAgain(): Promise<World>;
  /** Has the watch look over the farm, as the worker does. */
  look(): Promise<void>;
  /** Has an old spreadsheet brought in, as the worker does. */
  bringIn(importId: string): Promise<string>;
  /** What the worker does with a file that was asked for. */
  make(exportId: string): Promise<string>;
}

export interface TestApi {
  readonly database: TestDatabase;
  readonly app: Api['app'];
  readonly routes: readonly ServedRoute[];
  /** Sends without anybody signed in. */
  send(call: Call): Promise<Answer>;
  farm(name?: string): Promise<World>;
  close(): Promise<void>;
}

export interface TestApiOptions {
  readonly settings?: Partial<ApiSettings>;
  readonly clock?: () => Date;
  /** A database that outlives this app; one of its own otherwise. */
  readonly database?: TestDatabase;
}

/** Starts the HTTP edge on a database of its own. Requests are injected; nothing listens. */
export async function startApi(options: TestApiOptions = {}): Promise<TestApi> {
  const database = options.database ?? (await createTestDatabase({ maxConnections: 6 }));
  const { growerDb, platformDb } = database;
  const settings = { ...apiSettings({}), requestsPerMinute: 1_000_000, ...options.settings };
  const platform = { growerDb, platformDb, close: async () => undefined };
  const { app, routes } = await createApp({ platform, settings, ...(options.clock ? { clock: options.clock } : {}) });
  const send = (call: Call) => inject(app, call);
  const clock = options.clock ? { now: options.clock } : systemClock;
  return {
    database,
    app,
    routes,
    send,
    farm: (name = 'Farm') => makeFarm({ database, clock, send }, name),
    close: async () => {
      await app.close();
      if (!options.database) await database.close();
    },
  };
}

type Send = (call: Call) => Promise<Answer>;

async function inject(app: Api['app'], { method, url, body, headers }: Call): Promise<Answer> {
  const response = await app.inject({
    method: method as 'GET',
    url,
    headers: { ...(body === undefined ? {} : { 'content-type': 'application/json' }), ...headers },
    ...(body === undefined ? {} : { payload: payloadOf(body) }),
  });
  const isJson = /json(;|$)/.test(String(response.headers['content-type'] ?? ''));
  return {
    status: response.statusCode,
    headers: response.headers as Answer['headers'],
    body: isJson && response.body !== '' ? JSON.parse(response.body) : undefined,
    text: response.body,
    bytes: response.rawPayload,
  };
}

/** A file goes out as it is, a text as it is, and everything else as JSON. */
function payloadOf(body: unknown): string | Buffer {
  if (body instanceof Uint8Array) return Buffer.from(body);
  return typeof body === 'string' ? body : JSON.stringify(body);
}

interface Place {
  readonly database: TestDatabase;
  readonly clock: Clock;
  readonly send: Send;
}

async function makeFarm(place: Place, name: string): Promise<World> {
  const canary = `canary${randomBytes(6).toString('hex')}`;
  const email = `owner-${canary}@example.org`;
  const password = randomBytes(12).toString('base64url');
  const farm = {
    farmName: `${name} ${canary}`,
    ownerName: `Owner ${canary}`,
    timeZone: 'Europe/Vienna',
    email,
    password,
  };
  const { growerId, ownerStaffId } = await createGrower(place.database.platformDb, farm);
  return enter(place, { growerId, staffId: ownerStaffId, role: 'owner', email, password, canary });
}

type Person = Pick<World, 'growerId' | 'staffId' | 'role' | 'email' | 'password' | 'canary'>;

async function enter(place: Place, person: Person): Promise<World> {
  const { database, clock, send } = place;
  const { email, password } = person;
  const answer = await send({ method: 'POST', url: '/api/session', body: { email, password } });
  if (answer.status !== 201) throw new Error(`Signing in failed: ${answer.text}`);
  const cookie = cookieOf(answer);
  return {
    ...person,
    cookie,
    call: (method, url, body, headers) => send({ method, url, body, headers: { cookie, ...headers } }),
    colleague: async (role) => enter(place, await makeColleague(database, person, role)),
    signInAgain: () => enter(place, person),
    look: async () => {
      const { growerId } = person;
      await new WatchService(database.growerDb, systemClock).look({ growerId, staffId: null, role: null });
    },
    bringIn: (importId) => fileImporter(database.growerDb, clock).bringIn(person.growerId, importId),
    make: (exportId) => fileExporter(database.growerDb, clock).make(person.growerId, exportId),
  };
}

/** `name=value` of the cookie an answer set. */
export function cookieOf(answer: Answer): string {
  return String(answer.headers['set-cookie']).split(';')[0] ?? '';
}

/** Adds somebody to a farm with an account of their own, past the API, which makes accounts for owners only. */
export async function makeColleague(
  database: TestDatabase,
  { growerId, canary }: Pick<Person, 'growerId' | 'canary'>,
  role: StaffRole,
): Promise<Person> {
  const staffId = randomUUID();
  const accountId = randomUUID();
  const email = `${role}-${randomBytes(3).toString('hex')}-${canary}@example.org`;
  const password = randomBytes(12).toString('base64url');
  const passwordHash = await hashPassword(password);
  await database.platformDb.runForGrower(growerId, async (tx) => {
    await tx.staff.create({ data: { growerId, id: staffId, role } });
    await tx.staffName.create({ data: { growerId, staffId, name: `${role} ${canary}` } });
    await tx.account.create({ data: { id: accountId, email, passwordHash } });
    await tx.membership.create({ data: { accountId, growerId, staffId } });
  });
  return { growerId, staffId, role, email, password, canary };
}
