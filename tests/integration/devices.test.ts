/** Shared tablets and the people on them: enrolling, signing in by PIN, what a PIN may do, and how it all ends. */
import { createHmac, pbkdf2Sync, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { cookieOf, startApi, type TestApi, type World } from '../support/api-app.js';
import { addWithPin, enrolTablet, type SharedTablet } from '../support/shared-tablet.js';

const START = Date.parse('2026-11-25T08:00:00Z');
const PIN = '493017';
const OTHER_PIN = '730194';

let nowMs = START;
let api: TestApi;
let farm: World;
beforeAll(async () => {
  api = await startApi({ clock: () => new Date(nowMs) });
  farm = await api.farm('Tablets');
});
afterAll(() => api.close());

const pass = (ms: number) => {
  nowMs += ms;
};
const MINUTE = 60_000;

const entry = (sequence: number, staffId?: string, id: string = randomUUID()) => ({
  id,
  sequence,
  happenedAt: new Date(nowMs).toISOString(),
  kind: 'noted',
  payload: { text: 'swept' },
  ...(staffId ? { staffId } : {}),
});
const batch = (deviceId: string, ...entries: readonly object[]) => ({
  deviceId,
  sentAt: new Date(nowMs).toISOString(),
  entries,
});

describe('enrolling a tablet', () => {
  it('takes the code once, in any spelling, and keeps only hashes', async () => {
    const { code } = (await farm.call('POST', '/api/devices/enrolments', { name: 'By the door' })).body;
    expect(code).toMatch(/^[2-9A-Z]{4}-[2-9A-Z]{4}$/);
    const typed = ` ${code.toLowerCase().replace('-', ' ')} `;
    const enrolled = await api.send({ method: 'POST', url: '/api/device', body: { code: typed } });
    expect(enrolled).toMatchObject({ status: 201, body: { name: 'By the door', farm: { growerId: farm.growerId } } });
    expect(String(enrolled.headers['set-cookie'])).toMatch(
      /^jarfold-device=\S{43}; Path=\/; HttpOnly; SameSite=Strict/,
    );
    const again = await api.send({ method: 'POST', url: '/api/device', body: { code } });
    expect(again).toMatchObject({ status: 403, body: { code: 'enrolment-code-refused' } });
    const token = cookieOf(enrolled).split('=')[1] ?? '';
    const stored = await api.database.sql('SELECT * FROM device_token t, device_enrolment e');
    expect(JSON.stringify(stored)).not.toContain(token);
    expect(JSON.stringify(stored)).not.toContain(code.replace('-', ''));
  });

  it('refuses a code after a quarter of an hour, and counts wrong ones', async () => {
    const { code } = (await farm.call('POST', '/api/devices/enrolments', { name: 'Late' })).body;
    pass(15 * MINUTE);
    const tries = Array.from({ length: 12 }, (_, at) => (at === 0 ? code : `2222222${'3456789ABCDE'[at]}`));
    const statuses: number[] = [];
    for (const one of tries) {
      statuses.push((await api.send({ method: 'POST', url: '/api/device', body: { code: one } })).status);
    }
    expect(statuses.slice(0, 10)).toEqual(Array(10).fill(403));
    expect(statuses.slice(10)).toEqual([429, 429]);
    pass(60 * MINUTE);
  });

  it('renames with the revision that was read, and lists what it has sent', async () => {
    const tablet = await enrolTablet(api, farm, 'Old name');
    const renamed = await farm.call(
      'PUT',
      `/api/devices/${tablet.deviceId}`,
      { name: 'Cold room' },
      { 'if-match': '"1"' },
    );
    expect(renamed).toMatchObject({ status: 200, body: { name: 'Cold room', revision: 2, enrolled: true } });
    const stale = await farm.call('PUT', `/api/devices/${tablet.deviceId}`, { name: 'X' }, { 'if-match': '"1"' });
    expect(stale.status).toBe(412);
    const { items } = (await farm.call('GET', '/api/devices')).body;
    expect(items.find(({ deviceId }: { deviceId: string }) => deviceId === tablet.deviceId)).toMatchObject({
      name: 'Cold room',
      lastSequence: 0,
      revokedAt: null,
    });
  });
});

describe('signing in by PIN', () => {
  let hand: string;
  let tablet: SharedTablet;
  beforeAll(async () => {
    hand = await addWithPin(farm, 'hand', PIN);
    tablet = await enrolTablet(api, farm);
  });

  it('opens a session of the person on this tablet, without an account', async () => {
    const opened = await tablet.signIn(hand, PIN);
    expect(opened).toMatchObject({
      status: 201,
      body: { staffId: hand, role: 'hand', by: 'pin', deviceId: tablet.deviceId, email: null },
    });
    expect((await tablet.call('GET', '/api/session')).body.staffId).toBe(hand);
  });

  it('is worth nothing without the tablet: neither the PIN nor the session', async () => {
    const elsewhere = await api.send({ method: 'POST', url: '/api/device/session', body: { staffId: hand, pin: PIN } });
    expect(elsewhere).toMatchObject({ status: 401, body: { code: 'device-not-enrolled' } });
    const opened = await tablet.signIn(hand, PIN);
    const stolen = await api.send({ method: 'GET', url: '/api/session', headers: { cookie: cookieOf(opened) } });
    expect(stolen.status).toBe(401);
    const other = await enrolTablet(api, farm);
    const moved = `${other.cookie}; ${cookieOf(opened)}`;
    expect((await api.send({ method: 'GET', url: '/api/session', headers: { cookie: moved } })).status).toBe(401);
  });

  it('answers alike for a wrong PIN, for somebody without one and for nobody', async () => {
    const bare = (await farm.call('POST', '/api/staff', { name: 'No PIN', role: 'hand' })).body.staffId;
    const answers = [
      await tablet.signIn(hand, OTHER_PIN),
      await tablet.signIn(bare, OTHER_PIN),
      await tablet.signIn(randomUUID(), OTHER_PIN),
    ];
    const plain = answers.map(({ status, body: { code, title, detail } }) => ({ status, code, title, detail }));
    expect(new Set(plain.map((answer) => JSON.stringify(answer))).size).toBe(1);
    expect(plain[0]).toMatchObject({ status: 401, code: 'wrong-pin' });
  });

  it('pauses after five wrong ones, on this tablet only, through a restart; right after the pause it opens', async () => {
    const fresh = await enrolTablet(api, farm);
    const person = await addWithPin(farm, 'hand', PIN);
    for (let tried = 0; tried < 5; tried += 1) expect((await fresh.signIn(person, OTHER_PIN)).status).toBe(401);
    const paused = await fresh.signIn(person, PIN);
    expect(paused).toMatchObject({ status: 429, body: { code: 'too-many-sign-ins', retryAfterS: 30 } });
    const restarted = await startApi({ clock: () => new Date(nowMs), database: api.database });
    const again = await restarted.send({
      method: 'POST',
      url: '/api/device/session',
      body: { staffId: person, pin: PIN },
      headers: { cookie: fresh.cookie },
    });
    expect(again.status).toBe(429);
    await restarted.close();
    expect((await (await enrolTablet(api, farm)).signIn(person, PIN)).status).toBe(201);
    pass(30_000);
    expect((await fresh.signIn(person, OTHER_PIN)).status).toBe(401);
    expect((await fresh.signIn(person, PIN)).body).toMatchObject({ retryAfterS: 60 });
    pass(MINUTE);
    expect((await fresh.signIn(person, PIN)).status).toBe(201);
  });

  it('ends after half an hour unused', async () => {
    await tablet.signIn(hand, PIN);
    pass(30 * MINUTE - 1);
    expect((await tablet.call('GET', '/api/session')).status).toBe(200);
    pass(30 * MINUTE);
    expect(await tablet.call('GET', '/api/session')).toMatchObject({ status: 401, body: { code: 'sign-in-required' } });
  });

  it('signs out whoever had the tablet before', async () => {
    const before = cookieOf(await tablet.signIn(hand, PIN));
    await tablet.signIn(await addWithPin(farm, 'hand', OTHER_PIN), OTHER_PIN);
    const old = { cookie: `${tablet.cookie}; ${before}` };
    expect((await api.send({ method: 'GET', url: '/api/session', headers: old })).status).toBe(401);
  });

  it('of an owner gives a lead’s rights, and no desk work', async () => {
    await farm.call('PUT', `/api/staff/${farm.staffId}/pin`, { pin: OTHER_PIN });
    expect((await tablet.signIn(farm.staffId, OTHER_PIN)).body).toMatchObject({ role: 'lead', by: 'pin' });
    expect((await tablet.call('GET', '/api/staff')).status).toBe(200);
    expect((await tablet.call('POST', '/api/staff', { name: 'X', role: 'hand' })).body.code).toBe('role-too-low');
    const password = { currentPassword: farm.password, newPassword: 'kettle lantern moss' };
    expect(await tablet.call('PUT', '/api/password', password)).toMatchObject({
      status: 403,
      body: { code: 'password-needed' },
    });
  });

  it('stops working with a new PIN, without one, and when the person leaves', async () => {
    const person = await addWithPin(farm, 'lead', PIN);
    await tablet.signIn(person, PIN);
    await farm.call('PUT', `/api/staff/${person}/pin`, { pin: OTHER_PIN });
    expect((await tablet.call('GET', '/api/session')).status).toBe(401);
    expect((await tablet.signIn(person, OTHER_PIN)).status).toBe(201);
    await farm.call('DELETE', `/api/staff/${person}/pin`);
    expect((await tablet.call('GET', '/api/session')).status).toBe(401);
    await farm.call('PUT', `/api/staff/${person}/pin`, { pin: OTHER_PIN });
    await tablet.signIn(person, OTHER_PIN);
    const left = await farm.call('POST', `/api/staff/${person}/leave`, { forgetName: true }, { 'if-match': '"1"' });
    expect(left.body).toMatchObject({ active: false, name: null, pinSetAt: null });
    expect((await tablet.call('GET', '/api/session')).status).toBe(401);
    pass(60 * MINUTE);
    expect((await tablet.signIn(person, OTHER_PIN)).body.code).toBe('wrong-pin');
    expect((await farm.call('PUT', `/api/staff/${person}/pin`, { pin: PIN })).body.code).toBe('rule-refused');
  });
});

describe('a PIN without the server', () => {
  it('is checked by what the tablet was given, which fits no other tablet and is not what the server keeps', async () => {
    const person = await addWithPin(farm, 'hand', PIN, 'Alone');
    const tablet = await enrolTablet(api, farm);
    const other = await enrolTablet(api, farm);
    const bundle = async (one: SharedTablet) => {
      const own = (await api.send({ method: 'GET', url: '/api/device', headers: { cookie: one.cookie } })).body;
      return own.people.find(({ staffId }: { staffId: string }) => staffId === person).pin;
    };
    const given = await bundle(tablet);
    const check = (pin: string, deviceId: string) => {
      const key = pbkdf2Sync(pin, Buffer.from(given.salt, 'base64url'), given.iterations, 32, 'sha256');
      return createHmac('sha256', key).update(deviceId).digest('base64url') === given.verifier;
    };
    expect(given).toMatchObject({ algorithm: 'PBKDF2-SHA-256+HMAC', iterations: 600_000 });
    expect(check(PIN, tablet.deviceId)).toBe(true);
    expect(check(OTHER_PIN, tablet.deviceId)).toBe(false);
    expect((await bundle(other)).verifier).not.toBe(given.verifier);
    const [row] = await api.database.sql<{ key: Buffer }>(
      'SELECT offline_key AS key FROM staff_pin WHERE staff_id = $1',
      [person],
    );
    expect(JSON.stringify(given)).not.toContain(row?.key.toString('base64url'));
  });

  it('names people at work of this farm only, and nobody to a browser that is not enrolled', async () => {
    const stranger = await api.farm('Stranger');
    const tablet = await enrolTablet(api, farm);
    const own = await api.send({ method: 'GET', url: '/api/device', headers: { cookie: tablet.cookie } });
    expect(own.text).not.toContain(stranger.canary);
    expect(own.body.people.map(({ staffId }: { staffId: string }) => staffId)).toContain(farm.staffId);
    expect((await api.send({ method: 'GET', url: '/api/device' })).status).toBe(401);
  });

  it.each(['111111', '123456', '987654', '454545'])('does not take the PIN %s', async (pin) => {
    const refused = await farm.call('POST', '/api/staff', { name: 'Easy', role: 'hand', pin });
    expect(refused).toMatchObject({ status: 400, body: { code: 'invalid-input', errors: [{ pointer: '/pin' }] } });
  });
});

describe('staff', () => {
  it('are added, renamed and given another role; owners neither come nor go by that', async () => {
    const added = (await farm.call('POST', '/api/staff', { name: 'First', role: 'hand' })).body;
    const change = (id: string, revision: number, body: object) =>
      farm.call('PUT', `/api/staff/${id}`, body, { 'if-match': `"${revision}"` });
    expect((await change(added.staffId, 1, { name: 'Second', role: 'lead' })).body).toMatchObject({
      name: 'Second',
      role: 'lead',
      hasAccount: false,
      revision: 2,
    });
    expect((await change(added.staffId, 2, { name: 'Second', role: 'owner' })).body.code).toBe('rule-refused');
    expect((await change(farm.staffId, 1, { name: 'Me', role: 'hand' })).body.code).toBe('rule-refused');
    const { items } = (await farm.call('GET', '/api/staff')).body;
    expect(items.find(({ staffId }: { staffId: string }) => staffId === farm.staffId)).toMatchObject({
      hasAccount: true,
    });
  });

  it('keep their last owner', async () => {
    const lone = await api.farm('Lone');
    const leaving = await lone.call('POST', `/api/staff/${lone.staffId}/leave`, {}, { 'if-match': '"1"' });
    expect(leaving).toMatchObject({ status: 422, body: { code: 'rule-refused' } });
    expect((await lone.call('GET', '/api/session')).status).toBe(200);
  });

  it('who left can come back, without the old PIN', async () => {
    const person = await addWithPin(farm, 'hand', PIN);
    await farm.call('POST', `/api/staff/${person}/leave`, {}, { 'if-match': '"1"' });
    const back = await farm.call('POST', `/api/staff/${person}/return`, undefined, { 'if-match': '"2"' });
    expect(back.body).toMatchObject({ active: true, pinSetAt: null, revision: 3 });
  });
});

describe('the log of an enrolled tablet', () => {
  it('takes entries of whoever is named, under the tablet’s own sequence', async () => {
    const person = await addWithPin(farm, 'hand', PIN);
    const tablet = await enrolTablet(api, farm);
    await tablet.signIn(person, PIN);
    const sent = await tablet.call(
      'POST',
      '/api/bench/entries',
      batch(tablet.deviceId, entry(1, farm.staffId), entry(2)),
    );
    expect(sent.body.answers.map(({ outcome }: { outcome: string }) => outcome)).toEqual(['applied', 'applied']);
    const stored = await api.database.sql('SELECT staff_id FROM bench_entry WHERE device_id = $1 ORDER BY device_seq', [
      tablet.deviceId,
    ]);
    expect(stored).toEqual([{ staff_id: farm.staffId }, { staff_id: person }]);
  });

  it('takes nothing under its id without its own cookie, and nothing by PIN under another id', async () => {
    const tablet = await enrolTablet(api, farm);
    const asOwner = await farm.call('POST', '/api/bench/entries', batch(tablet.deviceId, entry(1)));
    expect(asOwner).toMatchObject({ status: 403, body: { code: 'device-mismatch' } });
    await tablet.signIn(await addWithPin(farm, 'hand', PIN), PIN);
    const other = await tablet.call('POST', '/api/bench/entries', batch(randomUUID(), entry(1)));
    expect(other).toMatchObject({ status: 403, body: { code: 'device-mismatch' } });
    const withCookie = { cookie: `${farm.cookie}; ${tablet.cookie}` };
    const both = await farm.call('POST', '/api/bench/entries', batch(tablet.deviceId, entry(1)), withCookie);
    expect(both.body).toMatchObject({ lastSequence: 1 });
  });

  it('ends with the tablet; its unsent work is taken from another one, once', async () => {
    const person = await addWithPin(farm, 'hand', PIN);
    const lost = await enrolTablet(api, farm);
    await lost.signIn(person, PIN);
    const [sent, unsent] = [entry(1, person), entry(2, person)];
    await lost.call('POST', '/api/bench/entries', batch(lost.deviceId, sent));
    expect((await farm.call('DELETE', `/api/devices/${lost.deviceId}`)).status).toBe(204);
    expect((await farm.call('DELETE', `/api/devices/${lost.deviceId}`)).status).toBe(204);
    expect((await lost.call('POST', '/api/bench/entries', batch(lost.deviceId, unsent))).status).toBe(401);
    expect((await lost.call('GET', '/api/device')).body.code).toBe('device-not-enrolled');
    const next = await enrolTablet(api, farm);
    await next.signIn(person, PIN);
    const moved = batch(next.deviceId, { ...sent, sequence: 1 }, { ...unsent, sequence: 2 });
    const { answers } = (await next.call('POST', '/api/bench/entries', moved)).body;
    expect(answers).toMatchObject([{ repeated: true }, { outcome: 'applied', repeated: false }]);
  });

  it('takes work of somebody who has left since', async () => {
    const person = await addWithPin(farm, 'hand', PIN);
    const tablet = await enrolTablet(api, farm);
    const late = entry(1, person);
    await farm.call('POST', `/api/staff/${person}/leave`, {}, { 'if-match': '"1"' });
    await tablet.signIn(await addWithPin(farm, 'hand', PIN), PIN);
    const { answers } = (await tablet.call('POST', '/api/bench/entries', batch(tablet.deviceId, late))).body;
    expect(answers).toMatchObject([{ outcome: 'applied' }]);
  });
});
