/**
 * Every operation of the OpenAPI document, tried with the ids of another farm: each id anywhere in a request that
 * succeeds is swapped for the stranger's id at the same place, and for a random one. The two must be answered alike,
 * nothing of the stranger may show, and nothing of the stranger may change.
 */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import { type Answer, startApi, type TestApi, type World } from '../support/api-app.js';
import { allRecipes, type BuiltRequest, type Recipe } from '../support/recipes/index.js';

/** Operations that no request of a test can make succeed; each with the reason. */
const WITHOUT_CONTROL: Readonly<Record<string, string>> = {
  'POST /api/set-up': 'works once per server, before the first farm; tried in identity-new-farms.test.ts',
  'POST /api/jobs/failed/{jobId}/retry': 'a job fails in the worker only; tried in plan-jobs.test.ts',
};

const ANY_UUID = /[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/gi;
// Whatever changes the facts of a farm is answered once it is planned anew, which a busy machine takes its time for.
jest.setTimeout(240_000);

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/i;

let api: TestApi;
let own: World;
let stranger: World;
let operations: readonly string[];

beforeAll(async () => {
  api = await startApi({ settings: { signUp: { mode: 'open' } } });
  own = await api.farm('Own');
  stranger = await api.farm('Stranger');
  const { paths } = (await api.send({ method: 'GET', url: '/api/openapi.json' })).body;
  operations = Object.entries(paths as Record<string, object>).flatMap(([path, methods]) =>
    Object.keys(methods).map((method) => `${method.toUpperCase()} ${path}`),
  );
});
afterAll(() => api.close());

function send(operation: string, request: BuiltRequest, world: World): Promise<Answer> {
  const [method = '', template = ''] = operation.split(' ');
  const path = template.replaceAll(/\{(\w+)\}/g, (_, name: string) => encodeURIComponent(request.params?.[name] ?? ''));
  const query = new URLSearchParams(request.query).toString();
  const url = query === '' ? path : `${path}?${query}`;
  return (request.as ?? world).call(method, url, request.body, request.headers);
}

type Parts = Pick<BuiltRequest, 'params' | 'query' | 'body'>;

/** Pointers of every id in a request. */
function idPointers(value: unknown, at = ''): string[] {
  if (typeof value === 'string') return UUID.test(value) ? [at] : [];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, member]) => idPointers(member, `${at}/${key}`));
}

function valueAt(value: unknown, pointer: string): unknown {
  return pointer
    .split('/')
    .slice(1)
    .reduce<unknown>((inner, key) => (inner as Record<string, unknown> | undefined)?.[key], value);
}

function withValueAt<T>(value: T, pointer: string, replacement: string): T {
  const copy = structuredClone(value) as unknown as Record<string, unknown>;
  const keys = pointer.split('/').slice(1);
  const last = keys.pop() ?? '';
  const holder = keys.reduce<Record<string, unknown>>((inner, key) => inner[key] as Record<string, unknown>, copy);
  holder[last] = replacement;
  return copy as T;
}

const partsOf = ({ params, query, body }: BuiltRequest): Parts => ({
  ...(params ? { params } : {}),
  ...(query ? { query } : {}),
  ...(body === undefined ? {} : { body }),
});

/** Plans are made anew in the background after a change, whenever that comes to its turn. */
const MOVES_BY_ITSELF = ['plan'];

let digestQuery: string | undefined;

/** One statement over all tables that hold rows of farms. */
async function queryOfDigests(): Promise<string> {
  const tables = await api.database.sql<{ table_name: string }>(
    `SELECT c.table_name FROM information_schema.columns c JOIN information_schema.tables t USING (table_schema, table_name)
     WHERE c.table_schema = 'public' AND c.column_name = 'grower_id' AND t.table_type = 'BASE TABLE'
       AND c.table_name <> ALL($1) ORDER BY 1`,
    [MOVES_BY_ITSELF],
  );
  const parts = tables.map(({ table_name: table }) => {
    // Being seen is not a change of the farm: when a session was last used moves by itself too.
    const row = table === 'session' ? `(to_jsonb(t) - 'last_seen_at')::text` : 't::text';
    const lines = `coalesce(string_agg(${row}, E'\\n' ORDER BY ${row}), '')`;
    return `SELECT '${table}' AS name, count(*) || ':' || md5(${lines}) AS digest FROM ${table} t WHERE grower_id = $1`;
  });
  return parts.join(' UNION ALL ');
}

/** What is stored of a farm, in all tables that have one, as one digest per table. */
async function digestOf(growerId: string): Promise<Record<string, string>> {
  digestQuery ??= await queryOfDigests();
  const rows = await api.database.sql<{ name: string; digest: string }>(digestQuery, [growerId]);
  return Object.fromEntries(rows.map(({ name, digest }) => [name, digest]));
}

/** An answer as a stranger could compare it: every id made equal, and what moves with every call left out. */
function comparable({ status, body, text }: Answer, volatile: readonly string[]): unknown {
  const moving = new Set(['correlationId', 'instance', ...volatile]);
  const still = JSON.stringify(body ?? text, (key, value) => (moving.has(key) ? undefined : value));
  return { status, still: still.replaceAll(ANY_UUID, 'ID') };
}

function expectNoTrace(answer: Answer): void {
  const everything = JSON.stringify([answer.headers, answer.text]);
  expect(everything).not.toContain(stranger.canary);
  expect(everything).not.toContain(stranger.growerId);
}

type Send = typeof send;

async function trySlot(operation: string, recipe: Recipe, pointer: string, sendIt: Send = send): Promise<void> {
  const strangersRequest = await recipe(stranger);
  const strangersId = valueAt(partsOf(strangersRequest), pointer);
  if (typeof strangersId !== 'string' || !UUID.test(strangersId)) {
    throw new Error(`${operation}: the recipe gave no id at ${pointer} for the other farm.`);
  }
  const before = await digestOf(stranger.growerId);
  const swapped = async (id: string) => {
    const request = await recipe(own);
    return { ...request, ...withValueAt(partsOf(request), pointer, id) };
  };
  const first = await swapped(strangersId);
  const ownBefore = await digestOf(own.growerId);
  const withStrangers = await sendIt(operation, first, own);
  if (withStrangers.status >= 400) expect(await digestOf(own.growerId)).toEqual(ownBefore);
  const withRandom = await sendIt(operation, await swapped(randomUUID()), own);
  expect([operation, pointer, withStrangers.status]).toEqual([operation, pointer, acceptable(pointer, withStrangers)]);
  expect(comparable(withStrangers, first.volatile ?? [])).toEqual(comparable(withRandom, first.volatile ?? []));
  expectNoTrace(withStrangers);
  expect(await digestOf(stranger.growerId)).toEqual(before);
}

/**
 * 404 for what the path names; in a body or a query a reference may also be an entry that is refused on its own inside
 * an answer, or a filter that finds nothing.
 */
function acceptable(pointer: string, { status }: Answer): number {
  if (pointer.startsWith('/params')) return 404;
  return status >= 200 && status < 500 ? status : -1;
}

describe('the recipes', () => {
  it('cover every operation, and no operation that is gone', () => {
    const known = [...Object.keys(allRecipes), ...Object.keys(WITHOUT_CONTROL)];
    expect(operations.filter((operation) => !known.includes(operation))).toEqual([]);
    expect(known.filter((operation) => !operations.includes(operation))).toEqual([]);
  });
});

describe('another farm’s ids', () => {
  it.each(Object.keys(allRecipes))('open, show and change nothing: %s', async (operation) => {
    const recipe = allRecipes[operation as keyof typeof allRecipes] as Recipe;
    const request = await recipe(own);
    const slots = idPointers(partsOf(request)).filter((pointer) => !(request.ownIds ?? []).includes(pointer));

    const before = await digestOf(stranger.growerId);
    const ownBefore = await digestOf(own.growerId);
    const control = await send(operation, request, own);
    if (control.status >= 300) throw new Error(`${operation} must succeed for its own farm: ${control.text}`);
    expectNoTrace(control);
    expect(await digestOf(stranger.growerId)).toEqual(before);
    if (operation.startsWith('GET ')) expect(await digestOf(own.growerId)).toEqual(ownBefore);

    for (const pointer of slots) await trySlot(operation, recipe, pointer);
  });

  it('include every id a path names', async () => {
    for (const [operation, recipe] of Object.entries(allRecipes)) {
      const request = await (recipe as Recipe)(own);
      const names = [...operation.matchAll(/\{(\w+)\}/g)].map((match) => match[1] ?? '');
      for (const name of names) expect([operation, typeof request.params?.[name]]).toEqual([operation, 'string']);
    }
  });
});

describe('a server that forgot whose row it is', () => {
  /** Answers each request as whoever the named thing belongs to: what a service without any wall would do. */
  const wallless: Send = async (operation, request, world) => {
    const ids = idPointers(request.params ?? {}).map((pointer) => valueAt(request.params, pointer));
    const theirs = await Promise.all(ids.map((id) => belongsTo(stranger, id as string)));
    return send(operation, request, theirs.includes(true) ? stranger : world);
  };

  it.each([
    ['DELETE /api/sessions/{sessionId}', '/params/sessionId'],
    ['GET /api/runs/{runId}', '/params/runId'],
    ['PATCH /api/farm/rooms/{roomId}', '/params/roomId'],
  ] as const)('would be caught: %s', async (operation, pointer) => {
    await expect(trySlot(operation, allRecipes[operation] as Recipe, pointer, wallless)).rejects.toThrow();
  });
});

async function belongsTo(world: World, id: string): Promise<boolean> {
  const rows = await api.database.sql(
    `SELECT grower_id FROM session WHERE id = $1 UNION ALL SELECT grower_id FROM bulk_run WHERE id = $1
     UNION ALL SELECT grower_id FROM room WHERE id = $1`,
    [id],
  );
  return rows.some(({ grower_id }) => grower_id === world.growerId);
}
