import { createHash } from 'node:crypto';
import { SESSION_ABSOLUTE_MS, SESSION_IDLE_MS } from '@jarfold/server';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { apiSettings } from '../../apps/api/src/settings.js';
import { type Answer, cookieOf, startApi, type TestApi, type World } from '../support/api-app.js';

let now = new Date('2026-11-25T09:00:00Z');
let api: TestApi;
beforeAll(async () => {
  api = await startApi({ clock: () => now });
});
afterAll(() => api.close());

/** Signing in stamps sessions with the real clock, so moved time starts from there. */
function timeIs(offsetMs: number): void {
  now = new Date(Date.now() + offsetMs);
}
timeIs(0);

function signIn(email: string, password: string, headers: Record<string, string> = {}): Promise<Answer> {
  return api.send({ method: 'POST', url: '/api/session', body: { email, password }, headers });
}

async function statusOf(world: Pick<World, 'call'>): Promise<number> {
  return (await world.call('GET', '/api/session')).status;
}

async function forgetTries(): Promise<void> {
  await api.database.sql('DELETE FROM sign_in_throttle');
}

describe('signing in', () => {
  it('answers who is signed in and sets a cookie that opens the farm', async () => {
    const farm = await api.farm('Moss Hollow');
    const who = await farm.call('GET', '/api/session');
    expect(who.status).toBe(200);
    expect(who.body).toMatchObject({
      staffId: farm.staffId,
      role: 'owner',
      email: farm.email,
      farm: { growerId: farm.growerId, name: `Moss Hollow ${farm.canary}`, timeZone: 'Europe/Vienna' },
    });
  });

  it('folds the case of the address and trims it', async () => {
    const farm = await api.farm();
    expect((await signIn(`  ${farm.email.toUpperCase()} `, farm.password)).status).toBe(201);
  });

  it('never sends a password or its hash back, and no token but in the cookie', async () => {
    const farm = await api.farm();
    const answer = await signIn(farm.email, farm.password);
    const token = cookieOf(answer).split('=')[1] ?? '';
    expect(answer.text).not.toContain(farm.password);
    expect(answer.text).not.toContain('argon2');
    expect(answer.text).not.toContain(token);
  });

  it('answers an unknown address and a wrong password with the same words', async () => {
    const farm = await api.farm();
    const wrong = await signIn(farm.email, 'not the password');
    const unknown = await signIn(`nobody-${farm.email}`, 'not the password');
    expect(wrong.status).toBe(401);
    const told = ({ body }: Answer) => ({ ...body, instance: '', correlationId: '' });
    expect(told(unknown)).toEqual(told(wrong));
    expect(wrong.body.code).toBe('wrong-credentials');
    expect(wrong.headers['set-cookie']).toBeUndefined();
    expect(wrong.headers['www-authenticate']).toBeDefined();
  });

  it('refuses a disabled account and a member of staff who left, with the same words', async () => {
    const farm = await api.farm();
    const hand = await farm.colleague('hand');
    await api.database.sql('UPDATE staff SET active = false WHERE id = $1', [hand.staffId]);
    expect((await signIn(hand.email, hand.password)).body.code).toBe('wrong-credentials');
    await api.database.sql('UPDATE account SET disabled_at = now() WHERE email = $1', [farm.email]);
    expect((await signIn(farm.email, farm.password)).body.code).toBe('wrong-credentials');
  });
});

describe('a session', () => {
  it('is stored by the hash of its token only', async () => {
    const farm = await api.farm();
    const token = farm.cookie.split('=')[1] ?? '';
    expect(Buffer.from(token, 'base64url')).toHaveLength(32);
    const hash = createHash('sha256').update(token).digest();
    const rows = await api.database.sql('SELECT * FROM session WHERE token_hash = $1', [hash]);
    expect(rows).toHaveLength(1);
    expect(JSON.stringify(rows)).not.toContain(token);
  });

  it('gets a token of its own at every sign-in, and the one brought along is dead (fixation)', async () => {
    const farm = await api.farm();
    const planted = `jarfold=${'A'.repeat(43)}`;
    const fresh = await signIn(farm.email, farm.password, { cookie: planted });
    expect(cookieOf(fresh)).not.toBe(planted);
    expect((await api.send({ method: 'GET', url: '/api/session', headers: { cookie: planted } })).status).toBe(401);
    const again = await signIn(farm.email, farm.password, { cookie: farm.cookie });
    expect(cookieOf(again)).not.toBe(farm.cookie);
    expect(await statusOf(farm)).toBe(401);
  });

  it('ends at sign-out, at once, and the browser is told to forget the cookie', async () => {
    const farm = await api.farm();
    const out = await farm.call('DELETE', '/api/session');
    expect(out.status).toBe(204);
    expect(String(out.headers['set-cookie'])).toMatch(/^jarfold=; .*Max-Age=0/);
    expect(await statusOf(farm)).toBe(401);
  });

  it('ends when it is not used for the idle time, and use moves that end', async () => {
    const farm = await api.farm();
    timeIs(SESSION_IDLE_MS - 60_000);
    expect(await statusOf(farm)).toBe(200);
    timeIs(SESSION_IDLE_MS + 60_000);
    expect(await statusOf(farm)).toBe(200);
    timeIs(2 * SESSION_IDLE_MS + 120_000);
    expect(await statusOf(farm)).toBe(401);
    timeIs(0);
  });

  it('ends at its last day however often it is used', async () => {
    const farm = await api.farm();
    const step = SESSION_IDLE_MS / 2;
    let days = 0;
    for (; days < SESSION_ABSOLUTE_MS - step; days += step) {
      timeIs(days);
      expect(await statusOf(farm)).toBe(200);
    }
    timeIs(SESSION_ABSOLUTE_MS + 1000);
    expect(await statusOf(farm)).toBe(401);
    timeIs(0);
  });

  it('is cleared away a month after its last day, when somebody signs in', async () => {
    const [old, recent] = [await api.farm(), await api.farm()];
    const age = (world: World, days: number) =>
      api.database.sql(
        `UPDATE session SET created_at = created_at - interval '90 days', last_seen_at = last_seen_at - interval '90 days',
                            expires_at = now() - $2 * interval '1 day' WHERE staff_id = $1`,
        [world.staffId, days],
      );
    await age(old, 31);
    await age(recent, 29);
    await api.farm();
    const left = async (world: World) =>
      (await api.database.sql('SELECT id FROM session WHERE staff_id = $1', [world.staffId])).length;
    expect([await left(old), await left(recent)]).toEqual([0, 1]);
  });

  it('ends at once when the person leaves or the account is disabled, and follows a change of role', async () => {
    const farm = await api.farm();
    const lead = await farm.colleague('lead');
    await api.database.sql(`UPDATE staff SET role = 'hand' WHERE id = $1`, [lead.staffId]);
    expect((await lead.call('GET', '/api/session')).body.role).toBe('hand');
    await api.database.sql('UPDATE staff SET active = false WHERE id = $1', [lead.staffId]);
    expect(await statusOf(lead)).toBe(401);
    await api.database.sql('UPDATE account SET disabled_at = now() WHERE email = $1', [farm.email]);
    expect(await statusOf(farm)).toBe(401);
  });

  it('can be seen and ended from another session of the same person, and only of the same person', async () => {
    const farm = await api.farm();
    const other = await farm.signInAgain();
    const list = await farm.call('GET', '/api/sessions');
    expect(list.body.items).toHaveLength(2);
    const { sessionId } = list.body.items.find((item: { current: boolean }) => !item.current);
    const stranger = await api.farm();
    const colleague = await farm.colleague('owner');
    expect((await stranger.call('DELETE', `/api/sessions/${sessionId}`)).status).toBe(404);
    expect((await colleague.call('DELETE', `/api/sessions/${sessionId}`)).status).toBe(404);
    expect(await statusOf(other)).toBe(200);
    expect((await farm.call('DELETE', `/api/sessions/${sessionId}`)).status).toBe(204);
    expect(await statusOf(other)).toBe(401);
    expect((await farm.call('DELETE', `/api/sessions/${sessionId}`)).status).toBe(404);
    expect(await statusOf(farm)).toBe(200);
  });
});

describe('guessing passwords', () => {
  it('gets five tries for an account from an address, then a pause, also for the right password', async () => {
    await forgetTries();
    const farm = await api.farm();
    for (let tries = 0; tries < 5; tries += 1) expect((await signIn(farm.email, 'wrong one')).status).toBe(401);
    const paused = await signIn(farm.email, farm.password);
    expect(paused.status).toBe(429);
    expect(paused.body).toMatchObject({ code: 'too-many-sign-ins' });
    expect(Number(paused.headers['retry-after'])).toBeGreaterThan(0);
    expect(paused.body.retryAfterS).toBe(Number(paused.headers['retry-after']));
    expect(await statusOf(farm)).toBe(200);
  });

  it('is still paused for a server that was started anew on the same database', async () => {
    await forgetTries();
    const farm = await api.farm();
    for (let tries = 0; tries < 5; tries += 1) await signIn(farm.email, 'wrong one');
    const second = await startApi({ database: api.database });
    const body = { email: farm.email, password: farm.password };
    expect((await second.send({ method: 'POST', url: '/api/session', body })).status).toBe(429);
    await second.close();
  });

  it('goes on after the pause, and a success forgets the failures', async () => {
    await forgetTries();
    const farm = await api.farm();
    for (let tries = 0; tries < 5; tries += 1) await signIn(farm.email, 'wrong one');
    await api.database.sql(
      `UPDATE sign_in_throttle SET locked_until = now() - interval '1 second' WHERE locked_until IS NOT NULL`,
    );
    expect((await signIn(farm.email, farm.password)).status).toBe(201);
    for (let tries = 0; tries < 4; tries += 1) expect((await signIn(farm.email, 'wrong one')).status).toBe(401);
    expect((await signIn(farm.email, farm.password)).status).toBe(201);
  });

  it('cannot slip more tries through by sending them side by side', async () => {
    await forgetTries();
    const farm = await api.farm();
    const answers = await Promise.all(Array.from({ length: 12 }, () => signIn(farm.email, 'wrong one')));
    expect(answers.filter(({ status }) => status === 401)).toHaveLength(5);
    expect(answers.filter(({ status }) => status === 429)).toHaveLength(7);
  });

  it('from elsewhere does not lock the owner out', async () => {
    await forgetTries();
    const proxied = await startApi({
      database: api.database,
      settings: apiSettings({ JARFOLD_BEHIND_PROXY: '1', JARFOLD_REQUESTS_PER_MINUTE: '100000' }),
    });
    const farm = await api.farm();
    const from = (address: string, password: string) =>
      proxied.send({
        method: 'POST',
        url: '/api/session',
        body: { email: farm.email, password },
        headers: { 'x-forwarded-for': address },
      });
    for (let tries = 0; tries < 6; tries += 1) await from('203.0.113.9', 'wrong one');
    expect((await from('203.0.113.9', farm.password)).status).toBe(429);
    expect((await from('198.51.100.4', farm.password)).status).toBe(201);
    await proxied.close();
  });

  it('walking through many accounts from one address is paused too', async () => {
    await forgetTries();
    const statuses: number[] = [];
    for (let tries = 0; tries < 31; tries += 1)
      statuses.push((await signIn(`a${tries}@example.org`, 'wrong one')).status);
    expect(statuses.slice(0, 30).every((status) => status === 401)).toBe(true);
    expect(statuses[30]).toBe(429);
    await forgetTries();
  });

  it('is not possible through an address that the caller makes up without a trusted proxy', async () => {
    await forgetTries();
    const farm = await api.farm();
    const answers: number[] = [];
    for (let tries = 0; tries < 6; tries += 1) {
      answers.push((await signIn(farm.email, 'wrong one', { 'x-forwarded-for': `203.0.113.${tries}` })).status);
    }
    expect(answers).toEqual([401, 401, 401, 401, 401, 429]);
    await forgetTries();
  });
});

describe('changing the password', () => {
  it('needs the current one, takes the new one and ends the other sessions', async () => {
    const farm = await api.farm();
    const other = await farm.signInAgain();
    const next = 'kettle lantern moss';
    const wrong = await farm.call('PUT', '/api/password', { currentPassword: 'not it at all', newPassword: next });
    expect(wrong.body).toMatchObject({
      code: 'wrong-credentials',
      errors: [{ in: 'body', pointer: '/currentPassword' }],
    });
    expect(await statusOf(other)).toBe(200);
    const done = await farm.call('PUT', '/api/password', { currentPassword: farm.password, newPassword: next });
    expect(done.status).toBe(204);
    expect(await statusOf(farm)).toBe(200);
    expect(await statusOf(other)).toBe(401);
    expect((await signIn(farm.email, farm.password)).status).toBe(401);
    expect((await signIn(farm.email, next)).status).toBe(201);
  });

  it.each([
    ['too short', 'seven77', 'invalid-input'],
    ['well known', 'password123', 'invalid-input'],
  ])('refuses one that is %s and keeps the old', async (_, newPassword, code) => {
    const farm = await api.farm();
    const answer = await farm.call('PUT', '/api/password', { currentPassword: farm.password, newPassword });
    expect(answer.status).toBe(400);
    expect(answer.body).toMatchObject({ code, errors: [{ in: 'body', pointer: '/newPassword' }] });
    expect((await signIn(farm.email, farm.password)).status).toBe(201);
  });

  it('guesses the current one no faster than signing in does', async () => {
    const farm = await api.farm();
    const guess = () =>
      farm.call('PUT', '/api/password', { currentPassword: 'a guess', newPassword: 'kettle lantern moss' });
    for (let tries = 0; tries < 5; tries += 1) expect((await guess()).status).toBe(401);
    expect((await guess()).status).toBe(429);
  });
});

describe('a request from another site', () => {
  const changing = ['/api/session', '/api/set-up', '/api/growers'];

  it.each(changing)('cannot change anything at %s, by Sec-Fetch-Site or by Origin', async (url) => {
    for (const headers of [
      { 'sec-fetch-site': 'cross-site' },
      { 'sec-fetch-site': 'same-site' },
      { origin: 'https://elsewhere.example', host: 'farm.example' },
      { origin: 'null', host: 'farm.example' },
    ]) {
      const answer = await api.send({ method: 'POST', url, body: {}, headers: headers as Record<string, string> });
      expect(answer.status).toBe(403);
      expect(answer.body.code).toBe('cross-origin');
    }
  });

  it('is stopped at every address that changes something, signed in or not', async () => {
    const farm = await api.farm();
    const { paths } = (await api.send({ method: 'GET', url: '/api/openapi.json' })).body;
    const operations = Object.entries(paths as Record<string, Record<string, unknown>>).flatMap(([path, methods]) =>
      Object.keys(methods).map((method) => [method.toUpperCase(), path.replaceAll(/\{\w+\}/g, farm.growerId)] as const),
    );
    const changes = operations.filter(([method]) => method !== 'GET');
    expect(changes.length).toBeGreaterThan(5);
    for (const [method, path] of changes) {
      const answer = await farm.call(method, path, {}, { 'sec-fetch-site': 'cross-site' });
      expect([method, path, answer.body?.code]).toEqual([method, path, 'cross-origin']);
    }
  });

  it('cannot pass as a form or as plain text', async () => {
    const farm = await api.farm();
    for (const type of ['text/plain', 'application/x-www-form-urlencoded', 'multipart/form-data; boundary=x']) {
      const answer = await api.send({
        method: 'POST',
        url: '/api/session',
        body: JSON.stringify({ email: farm.email, password: farm.password }),
        headers: { 'content-type': type },
      });
      expect(answer.status).toBe(415);
      expect(answer.body.code).toBe('unsupported-media-type');
    }
  });

  it('is told apart from the app itself and from programs', async () => {
    const farm = await api.farm();
    expect((await signIn(farm.email, farm.password, { 'sec-fetch-site': 'same-origin' })).status).toBe(201);
    expect(
      (await signIn(farm.email, farm.password, { origin: 'http://farm.example', host: 'farm.example' })).status,
    ).toBe(201);
    expect((await signIn(farm.email, farm.password)).status).toBe(201);
  });
});

describe('the cookie over TLS', () => {
  it('carries __Host- and Secure, and the bare name opens nothing there', async () => {
    const tls = await startApi({ database: api.database, settings: { secure: true } });
    const farm = await api.farm();
    const answer = await tls.send({
      method: 'POST',
      url: '/api/session',
      body: { email: farm.email, password: farm.password },
    });
    expect(String(answer.headers['set-cookie'])).toMatch(
      /^__Host-jarfold=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict; Max-Age=\d+; Secure$/,
    );
    expect(answer.headers['strict-transport-security']).toContain('max-age=31536000');
    const bare = cookieOf(answer).replace('__Host-', '');
    expect((await tls.send({ method: 'GET', url: '/api/session', headers: { cookie: bare } })).status).toBe(401);
    await tls.close();
  });
});
