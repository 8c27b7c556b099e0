import { createGrower, issueSetUpToken } from '@jarfold/server';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi } from '../support/api-app.js';

const OPERATOR_TOKEN = 'operator-token-of-at-least-32-characters';
const newFarm = {
  farmName: 'Birch Cellar',
  timeZone: 'Europe/Oslo',
  email: 'ada@example.org',
  password: 'kettle lantern moss',
};

describe('the first farm of a server', () => {
  let api: TestApi;
  beforeEach(async () => {
    api = await startApi();
  });
  afterEach(() => api.close());

  const setUp = (token: string, more: object = {}) =>
    api.send({ method: 'POST', url: '/api/set-up', body: { token, ...newFarm, ...more } });

  it('is made with the token that starting the server printed, and its owner can sign in', async () => {
    expect((await api.send({ method: 'GET', url: '/api/set-up' })).body).toEqual({ needed: true });
    const token = await issueSetUpToken(api.database.platformDb);
    const made = await setUp(token ?? '');
    expect(made.status).toBe(201);
    expect((await api.send({ method: 'GET', url: '/api/set-up' })).body).toEqual({ needed: false });
    const signedIn = await api.send({
      method: 'POST',
      url: '/api/session',
      body: { email: newFarm.email, password: newFarm.password },
    });
    expect(signedIn.body).toMatchObject({ role: 'owner', farm: { name: 'Birch Cellar', timeZone: 'Europe/Oslo' } });
  });

  it('is not made with a wrong, a mangled or an expired token', async () => {
    const token = (await issueSetUpToken(api.database.platformDb, new Date(Date.now() - 86_400_000 - 1000))) ?? '';
    for (const tried of [token, 'A'.repeat(43), 'short', token.slice(1)]) {
      const answer = await setUp(tried);
      expect([answer.status, answer.body.code]).toEqual([403, 'setup-token-refused']);
    }
    expect(await api.database.sql('SELECT * FROM grower')).toEqual([]);
    expect(await api.database.sql('SELECT * FROM account')).toEqual([]);
  });

  it('keeps the token good when the rest of the input is refused', async () => {
    const token = (await issueSetUpToken(api.database.platformDb)) ?? '';
    expect((await setUp(token, { password: 'password1' })).status).toBe(400);
    expect((await setUp(token, { timeZone: 'Mars/Olympus' })).body.errors).toMatchObject([{ pointer: '/timeZone' }]);
    expect((await setUp(token)).status).toBe(201);
  });

  it('is made once when the link is used twice, one after another or side by side', async () => {
    const token = (await issueSetUpToken(api.database.platformDb)) ?? '';
    const answers = await Promise.all([1, 2, 3, 4].map((n) => setUp(token, { email: `ada${n}@example.org` })));
    expect(answers.filter(({ status }) => status === 201)).toHaveLength(1);
    const others = answers.filter(({ status }) => status !== 201).map(({ body }) => body.code);
    expect(others.every((code) => code === 'setup-token-refused' || code === 'already-set-up')).toBe(true);
    expect(await api.database.sql('SELECT * FROM grower')).toHaveLength(1);
    expect((await setUp(token)).body.code).toBe('already-set-up');
  });

  it('has one link at a time: a new start makes the earlier one stop working', async () => {
    const first = (await issueSetUpToken(api.database.platformDb)) ?? '';
    const second = (await issueSetUpToken(api.database.platformDb)) ?? '';
    expect((await setUp(first)).status).toBe(403);
    expect((await setUp(second)).status).toBe(201);
    expect(await issueSetUpToken(api.database.platformDb)).toBeNull();
  });

  it('keeps the hash of the token only', async () => {
    const token = (await issueSetUpToken(api.database.platformDb)) ?? '';
    const rows = await api.database.sql<{ token_hash: Buffer }>('SELECT * FROM setup_token');
    expect(rows).toHaveLength(1);
    expect(rows[0]?.token_hash.toString('utf8')).not.toContain(token);
    expect(rows[0]?.token_hash).toHaveLength(32);
  });

  it('holds back guessing of the token', async () => {
    await issueSetUpToken(api.database.platformDb);
    for (let tries = 0; tries < 10; tries += 1) expect((await setUp('A'.repeat(43))).status).toBe(403);
    expect((await setUp('A'.repeat(43))).status).toBe(429);
  });
});

describe('further farms', () => {
  let closed: TestApi;
  let guarded: TestApi;
  let open: TestApi;
  beforeAll(async () => {
    closed = await startApi();
    const { database } = closed;
    guarded = await startApi({ database, settings: { signUp: { mode: 'closed', operatorToken: OPERATOR_TOKEN } } });
    open = await startApi({ database, settings: { signUp: { mode: 'open' } } });
  });
  afterAll(async () => {
    await open.close();
    await guarded.close();
    await closed.close();
  });
  beforeEach(() => closed.database.sql('DELETE FROM sign_in_throttle'));

  const add = (api: TestApi, body: object, authorization?: string) =>
    api.send({
      method: 'POST',
      url: '/api/growers',
      body,
      headers: authorization === undefined ? {} : { authorization },
    });

  it('are refused where the operator allows none', async () => {
    expect((await add(closed, newFarm)).body.code).toBe('sign-up-closed');
    expect((await add(closed, newFarm, 'Bearer ')).body.code).toBe('sign-up-closed');
  });

  it('need the operator token, whole', async () => {
    for (const wrong of [undefined, 'Bearer', `Bearer ${OPERATOR_TOKEN}x`, `Basic ${OPERATOR_TOKEN}`, OPERATOR_TOKEN]) {
      const answer = await add(guarded, newFarm, wrong);
      expect([answer.status, answer.body.code]).toEqual([401, 'operator-token-required']);
      expect(String(answer.headers['www-authenticate'])).toMatch(/^Bearer /);
    }
    expect((await add(guarded, newFarm, `Bearer ${OPERATOR_TOKEN}`)).status).toBe(201);
  });

  it('can be added by the operator without a pause, while guessing the token is held back', async () => {
    const bearer = `Bearer ${OPERATOR_TOKEN}`;
    for (let guesses = 0; guesses < 10; guesses += 1)
      expect((await add(guarded, newFarm, 'Bearer x')).status).toBe(401);
    expect((await add(guarded, newFarm, 'Bearer x')).status).toBe(429);
    expect((await add(guarded, { ...newFarm, email: 'operator@example.org' }, bearer)).status).toBe(201);
  });

  it('can be added by anyone on an open server, each address once', async () => {
    const other = { ...newFarm, email: 'Bo@Example.org', farmName: 'Second Cellar' };
    expect((await add(open, other)).status).toBe(201);
    const again = await add(open, { ...other, email: 'bo@example.org', farmName: 'Third Cellar' });
    expect([again.status, again.body.code]).toEqual([409, 'email-taken']);
    expect(await closed.database.sql(`SELECT * FROM grower WHERE name = 'Third Cellar'`)).toEqual([]);
  });

  it('with one address sent side by side are made once, and the rest leave nothing behind', async () => {
    const twin = { ...newFarm, email: 'twin@example.org', farmName: 'Twin Cellar' };
    const answers = await Promise.all([1, 2, 3, 4].map(() => add(open, twin)));
    expect(answers.filter(({ status }) => status === 201)).toHaveLength(1);
    expect(answers.filter(({ status }) => status === 409)).toHaveLength(3);
    expect(answers.filter(({ body }) => body.code === 'email-taken')).toHaveLength(3);
    expect(await closed.database.sql(`SELECT * FROM grower WHERE name = 'Twin Cellar'`)).toHaveLength(1);
  });

  it.each([
    ['no name', { farmName: '   ' }, '/farmName'],
    ['a name of two lines', { farmName: 'a\nb' }, '/farmName'],
    ['an unknown time zone', { timeZone: 'Mars/Olympus' }, '/timeZone'],
    ['no address', { email: 'ada' }, '/email'],
    ['a short password', { password: 'seven77' }, '/password'],
    ['a well-known password', { password: 'qwertyuiop' }, '/password'],
    ['its own name as password', { password: 'birchcellar1' }, '/password'],
    ['a password that is no text', { password: 12_345_678 }, '/password'],
    ['a field that is not known', { role: 'owner' }, '/role'],
  ])('with %s are refused, and the field is named', async (_, wrong, pointer) => {
    const farms = await closed.database.sql('SELECT id FROM grower');
    const answer = await add(open, { ...newFarm, email: 'new@example.org', ...wrong });
    expect(answer.status).toBe(400);
    expect(answer.body.code).toBe('invalid-input');
    expect(answer.body.errors).toMatchObject([{ in: 'body', pointer }]);
    expect(await closed.database.sql('SELECT id FROM grower')).toHaveLength(farms.length);
  });

  it('are made whole: farm, counter, settings, owner, account and the tie between them', async () => {
    const { growerId, ownerStaffId } = await createGrower(closed.database.platformDb, {
      ...newFarm,
      email: 'whole@example.org',
    });
    const count = async (table: string, column: string) =>
      (await closed.database.sql(`SELECT * FROM ${table} WHERE ${column} = $1`, [growerId])).length;
    expect([
      await count('grower', 'id'),
      await count('bench_counter', 'grower_id'),
      await count('farm_settings', 'grower_id'),
    ]).toEqual([1, 1, 1]);
    expect([
      await count('staff', 'grower_id'),
      await count('staff_name', 'grower_id'),
      await count('membership', 'grower_id'),
    ]).toEqual([1, 1, 1]);
    expect(await closed.database.sql('SELECT role FROM staff WHERE id = $1', [ownerStaffId])).toEqual([
      { role: 'owner' },
    ]);
  });
});
