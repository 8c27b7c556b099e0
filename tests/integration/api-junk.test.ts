/**
 * Every operation of the OpenAPI document, given nonsense: each value of a request that succeeds is swapped, one at a
 * time, for values of other types, out of any range, or that a database cannot store. The answer is never a fault of
 * ours, a refusal says what it is, and a refused request changed nothing.
 */
import { problemSchema } from '@jarfold/contracts';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import { type Answer, startApi, type TestApi, type World } from '../support/api-app.js';
import { farmDigest } from '../support/farm-digest.js';
import { allRecipes, type Recipe } from '../support/recipes/index.js';
import { leafPointers, partsOf, sendRequest, withValueAt } from '../support/request.js';

jest.setTimeout(240_000);

const JUNK: readonly unknown[] = [
  '',
  ' ',
  '\u0000',
  'a\u0000b',
  '\ud800',
  '\u202e\u0007',
  'x'.repeat(20_000),
  "'; DROP TABLE jar; --",
  '2026-02-30',
  '99999-01-01',
  '00000000-0000-0000-0000-000000000000',
  -1,
  0,
  1e308,
  -1e-320,
  2 ** 53,
  2_147_483_648,
  0.000_000_1,
  null,
  true,
  [],
  {},
  [[[]]],
];

/** Text only: what a path or a query can hold. */
const TEXT_JUNK = JUNK.filter(
  (junk): junk is string => typeof junk === 'string' && junk.length < 100 && !junk.includes('\ud800'),
);

/** Every change tries a sixth of the nonsense at each value, another sixth at the next one; `npm run long` tries all. */
const itsShare = (at: number) => (_: unknown, junkAt: number) =>
  process.env.JARFOLD_ALL_JUNK === '1' || (junkAt + at) % 6 === 0;

let api: TestApi;
let farm: World;
beforeAll(async () => {
  api = await startApi({ settings: { signUp: { mode: 'open' } } });
  farm = await api.farm();
});
afterAll(() => api.close());

/** How a checking library words a mistake by itself: for whoever wrote the contract, not for whoever filled it in. */
const UNTRANSLATED =
  /Invalid (input|option|string|number|value|key|discriminator|UUID|ISO|URL|email)|Too (big|small):|Unrecognized key/;

function expectNoFault(what: readonly unknown[], answer: Answer): void {
  expect([...what, answer.status < 500 ? 'not a fault' : answer.text]).toEqual([...what, 'not a fault']);
  if (answer.status < 400) return;
  expect(answer.headers['content-type']).toBe('application/problem+json');
  expect([...what, problemSchema.safeParse(answer.body).error?.message]).toEqual([...what, undefined]);
  expect([...what, UNTRANSLATED.exec(answer.text)?.[0]]).toEqual([...what, undefined]);
}

describe('nonsense in the place of any one value', () => {
  it.each(Object.keys(allRecipes))('is refused and changes nothing: %s', async (operation) => {
    const recipe = allRecipes[operation as keyof typeof allRecipes] as Recipe;
    const request = await recipe(farm);
    const parts = partsOf(request);
    let before = await farmDigest(api.database, farm.growerId);
    for (const [at, pointer] of leafPointers(parts, () => true).entries()) {
      for (const junk of (pointer.startsWith('/body') ? JUNK : TEXT_JUNK).filter(itsShare(at))) {
        const swapped = { ...request, ...withValueAt(parts, pointer, junk) };
        const answer = await sendRequest(operation, swapped, farm);
        expectNoFault([operation, pointer, junk], answer);
        const after = await farmDigest(api.database, farm.growerId);
        if (answer.status >= 400) expect(after).toEqual(before);
        before = after;
        await api.database.sql('DELETE FROM sign_in_throttle');
      }
    }
  });
});

describe('nonsense in the place of a whole body', () => {
  it.each(Object.keys(allRecipes))('is refused: %s', async (operation) => {
    const recipe = allRecipes[operation as keyof typeof allRecipes] as Recipe;
    const request = await recipe(farm);
    // A file is judged by its content, in the tests of hostile files.
    if (request.body === undefined || request.body instanceof Uint8Array) return;
    for (const body of [
      null,
      0,
      'text',
      [],
      {},
      [request.body],
      { body: request.body },
      { ...(request.body as object), extra: 1 },
    ]) {
      const answer = await sendRequest(operation, { ...request, body: JSON.stringify(body) }, farm);
      expectNoFault([operation, body], answer);
      if (JSON.stringify(body) !== '{}') expect([operation, body, answer.status]).toEqual([operation, body, 400]);
    }
  });
});

describe('nonsense in a query', () => {
  it.each(Object.keys(allRecipes).filter((operation) => operation.startsWith('GET ')))(
    'is no fault of ours: %s',
    async (operation) => {
      const recipe = allRecipes[operation as keyof typeof allRecipes] as Recipe;
      const request = await recipe(farm);
      for (const query of [
        '?a=1',
        '?limit=-1&limit=x',
        '?cursor=%00',
        '?code=%00',
        '?code=a%00b',
        `?cursor=${Buffer.from('["2026-01-01","a\\u0000b"]').toString('base64url')}`,
        `?cursor=${Buffer.from('["2026-01-01","\\ud800"]').toString('base64url')}`,
        '?%F0%9F',
        '?__proto__=1',
        `?${'a=1&'.repeat(2000)}`,
      ]) {
        const [, template = ''] = operation.split(' ');
        const path = template.replaceAll(/\{(\w+)\}/g, (_, name: string) =>
          encodeURIComponent(request.params?.[name] ?? ''),
        );
        expectNoFault([operation, query.slice(0, 20)], await farm.call('GET', `${path}${query}`));
      }
    },
  );
});
