/**
 * Every operation of the OpenAPI document, tried with the ids of another farm: each id anywhere in a request that
 * succeeds is swapped for the stranger's id at the same place, and for a random one. The two must be answered alike,
 * nothing of the stranger may show, and nothing of the stranger may change.
 */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import { type Answer, startApi, type TestApi, type World } from '../support/api-app.js';
import { farmDigest } from '../support/farm-digest.js';
import { allRecipes, type Recipe } from '../support/recipes/index.js';
import { leafPointers, partsOf, sendRequest, valueAt, withValueAt } from '../support/request.js';

/** Operations that no request of a test can make succeed; each with the reason. */
const WITHOUT_CONTROL: Readonly<Record<string, string>> = {
  'POST /api/set-up': 'works once per server, before the first farm; tried in identity-new-farms.test.ts',
  'POST /api/jobs/failed/{jobId}/retry': 'a job fails in the worker only; tried in plan-jobs.test.ts',
  'POST /api/imports/farm/{importId}/bring-in': 'works in an empty farm only; tried in whole-farm.test.ts',
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

const idPointers = (value: unknown) => leafPointers(value, (leaf) => typeof leaf === 'string' && UUID.test(leaf));

const digestOf = (growerId: string) => farmDigest(api.database, growerId);

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

type Send = typeof sendRequest;

async function trySlot(operation: string, recipe: Recipe, pointer: string, sendIt: Send = sendRequest): Promise<void> {
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
    const control = await sendRequest(operation, request, own);
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
    return sendRequest(operation, request, theirs.includes(true) ? stranger : world);
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
