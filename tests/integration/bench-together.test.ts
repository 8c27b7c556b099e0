/** Tablets of one farm that send at the same moment: what waits shares a transaction, and nobody spoils it for others. */
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';

let api: TestApi;
let farm: World;
beforeAll(async () => {
  api = await startApi();
  farm = await api.farm('Together');
});
afterAll(() => api.close());

const note = (text: string, id = randomUUID(), sequence = 1) => ({
  ...{ id, sequence, happenedAt: new Date().toISOString(), kind: 'noted' },
  payload: { text },
});

function send(entries: readonly ReturnType<typeof note>[], deviceId = randomUUID()) {
  return farm.call('POST', '/api/bench/entries', { deviceId, sentAt: new Date().toISOString(), entries });
}

async function stored(ids: readonly string[]) {
  return api.database.sql<{ id: string; position: number; made_in: string }>(
    `SELECT id::text, position::int, xmin::text AS made_in FROM bench_entry
     WHERE grower_id = $1 AND id = ANY($2::uuid[]) ORDER BY position`,
    [farm.growerId, ids],
  );
}

describe('requests that come together', () => {
  it('share transactions, and each gets its own answer', async () => {
    const requests = Array.from({ length: 12 }, (_, at) => [note(`a${at}`), note(`b${at}`, randomUUID(), 2)]);
    const answers = await Promise.all(requests.map((entries) => send(entries)));
    expect(answers.map(({ status }) => status)).toEqual(Array(12).fill(200));
    const rows = await stored(requests.flat().map(({ id }) => id));
    expect(rows).toHaveLength(24);
    expect(rows.map(({ position }) => position)).toEqual(rows.map((_, at) => (rows[0]?.position ?? 0) + at));
    for (const [at, entries] of requests.entries()) {
      const ids = entries.map(({ id }) => id);
      expect(answers[at]?.body.answers.map((answer: { id: string }) => answer.id)).toEqual(ids);
      expect(answers[at]?.body.position).toBe(rows.find(({ id }) => id === ids[1])?.position);
    }
    expect(new Set(rows.map(({ made_in }) => made_in)).size).toBeLessThan(12);
  });

  it('are kept although one among them cannot be', async () => {
    const known = note('as it was');
    await send([known]);
    const good = Array.from({ length: 6 }, (_, at) => note(`good ${at}`));
    const other = note('something else', known.id);
    const answers = await Promise.all([...good.slice(0, 3), other, ...good.slice(3)].map((entry) => send([entry])));
    expect(answers.map(({ status }) => status)).toEqual([200, 200, 200, 422, 200, 200, 200]);
    expect(await stored(good.map(({ id }) => id))).toHaveLength(6);
    expect((await farm.call('GET', '/api/bench/chain')).body).toMatchObject({ intact: true });
  });

  it('make one entry of the same request sent several times', async () => {
    const deviceId = randomUUID();
    const entry = note('only once');
    const answers = await Promise.all(Array.from({ length: 5 }, () => send([entry], deviceId)));
    const repeated = answers.map(({ body }) => body.answers[0].repeated);
    expect(repeated.filter((again: boolean) => !again)).toHaveLength(1);
    expect(await stored([entry.id])).toHaveLength(1);
  });
});

describe('people who ask together', () => {
  it('are each known by their own session, and who has left or never came is not', async () => {
    const neighbour = await api.farm('Neighbour');
    const hand = await neighbour.colleague('hand');
    const gone = await farm.signInAgain();
    await gone.call('DELETE', '/api/session');
    const stranger = `${farm.cookie.split('=')[0]}=${'x'.repeat(43)}`;
    const ask = (cookie: string) => farm.call('GET', '/api/session', undefined, { cookie });
    const asked = [farm.cookie, gone.cookie, hand.cookie, stranger, neighbour.cookie, farm.cookie];
    const answers = await Promise.all([...asked, ...asked].map(ask));
    const known = answers.map(({ status, body }) => (status === 200 ? body.staffId : status));
    const expected = [farm.staffId, 401, hand.staffId, 401, neighbour.staffId, farm.staffId];
    expect(known).toEqual([...expected, ...expected]);
  });
});
