import { connect, type Socket } from 'node:net';
import { PROBLEMS, type ProblemCode, problemCodes, problemSchema } from '@jarfold/contracts';
import { AppError } from '@jarfold/server/platform';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { failureFrom, problemBody } from '../../apps/api/src/platform/problem-from-error.js';
import { type Answer, startApi, type TestApi, type World } from '../support/api-app.js';

let api: TestApi;
let farm: World;
beforeAll(async () => {
  api = await startApi();
  farm = await api.farm();
});
afterAll(() => api.close());

function expectProblem(answer: Answer, code: ProblemCode): void {
  expect([answer.status, answer.body?.code]).toEqual([PROBLEMS[code].status, code]);
  expect(answer.headers['content-type']).toBe('application/problem+json');
  expect(problemSchema.safeParse(answer.body).error).toBeUndefined();
  expect(answer.body.status).toBe(answer.status);
  expect(answer.body.type).toBe(`/problems/${code}`);
  expect(answer.body.instance).toBe(`urn:uuid:${answer.body.correlationId}`);
  expect(answer.headers['x-correlation-id']).toBe(answer.body.correlationId);
  expect(answer.headers['cache-control']).toBe('no-store');
  expect(answer.headers['x-content-type-options']).toBe('nosniff');
}

const post = (body: unknown, headers: Record<string, string> = {}) =>
  api.send({ method: 'POST', url: '/api/session', body, headers });

describe('bad input is a problem that names itself', () => {
  it.each([
    ['half an object', '{"email": "a'],
    ['nothing but the announcement', ''],
    ['two values', '{} {}'],
    ['a key that reaches a prototype', '{"__proto__": {"role": "owner"}, "email": "a", "password": "b"}'],
    ['a constructor key', '{"constructor": {"prototype": {"x": 1}}}'],
    ['bytes that are no UTF-8 JSON', '\u0000\u0001'],
  ])('%s as JSON', async (_, body) => expectProblem(await post(body), 'malformed-json'));

  it.each([
    ['a list', []],
    ['text', '"hello"'],
    ['null', 'null'],
    ['a number', '7'],
  ])('%s where an object belongs', async (_, body) => {
    const answer = await post(body);
    expectProblem(answer, 'invalid-input');
    expect(answer.body.errors).toMatchObject([{ in: 'body', pointer: '' }]);
  });

  it('no body at all', async () => {
    const answer = await api.send({ method: 'POST', url: '/api/session' });
    expectProblem(answer, 'invalid-input');
  });

  it('an unknown field, a missing field and a wrong type, all in one pass', async () => {
    const answer = await post({ email: 7, colour: 'white' });
    expectProblem(answer, 'invalid-input');
    const pointers = answer.body.errors.map(({ pointer }: { pointer: string }) => pointer);
    expect(pointers.sort()).toEqual(['/colour', '/email', '/password']);
  });

  it('another type of body, and a type that cannot be read', async () => {
    expectProblem(await post('a=b', { 'content-type': 'application/x-www-form-urlencoded' }), 'unsupported-media-type');
    expectProblem(await post('<a/>', { 'content-type': 'text/xml' }), 'unsupported-media-type');
    expectProblem(await post('{}', { 'content-type': 'nonsense' }), 'unsupported-media-type');
  });

  it('a body over the limit, announced or not', async () => {
    const huge = JSON.stringify({ email: 'x'.repeat(1_100_000), password: 'y' });
    const answer = await post(huge);
    expectProblem(answer, 'too-large');
    expect(answer.body.detail).toContain('1048576');
  });

  it('a body nested beyond reason', async () => {
    const deep = `${'['.repeat(50_000)}${']'.repeat(50_000)}`;
    const answer = await post(`{"email": ${deep}, "password": "x"}`);
    expect(answer.status).toBe(400);
  });

  it('an id in the path that is none', async () => {
    const answer = await farm.call('DELETE', '/api/sessions/not-an-id');
    expectProblem(answer, 'invalid-input');
    expect(answer.body.errors).toMatchObject([{ in: 'path', pointer: '/sessionId' }]);
  });

  it('a path with broken encoding, and one that is too long', async () => {
    expectProblem(await farm.call('DELETE', '/api/sessions/%E0%A4%A'), 'malformed-address');
    expectProblem(await farm.call('DELETE', `/api/sessions/${'a'.repeat(200)}`), 'address-too-long');
  });

  it('an unknown address under /api, whatever the method', async () => {
    for (const method of ['GET', 'POST', 'PUT', 'PATCH', 'DELETE']) {
      expectProblem(await farm.call(method, '/api/nothing-here', method === 'GET' ? undefined : {}), 'not-found');
    }
  });

  it('a method the address does not take, with the ones it does in Allow', async () => {
    const answer = await farm.call('PATCH', '/api/session', {});
    expectProblem(answer, 'method-not-allowed');
    expect(String(answer.headers.allow).split(', ').sort()).toEqual(['DELETE', 'GET', 'HEAD', 'POST']);
    expectProblem(await api.send({ method: 'DELETE', url: '/healthz' }), 'method-not-allowed');
    expectProblem(await api.send({ method: 'OPTIONS', url: '/api/session' }), 'method-not-allowed');
    expectProblem(await api.send({ method: 'GET', url: '/api/growers' }), 'method-not-allowed');
  });

  it('nobody signed in, or a cookie that is none of ours', async () => {
    expectProblem(await api.send({ method: 'GET', url: '/api/session' }), 'sign-in-required');
    for (const cookie of [
      'jarfold=',
      'jarfold=x',
      `jarfold=${'A'.repeat(43)}`,
      `jarfold=${'A'.repeat(5000)}`,
      '=;=;;',
    ]) {
      expectProblem(await api.send({ method: 'GET', url: '/api/session', headers: { cookie } }), 'sign-in-required');
    }
  });

  it('too many calls from one address', async () => {
    const small = await startApi({ database: api.database, settings: { requestsPerMinute: 3 } });
    for (let calls = 0; calls < 3; calls += 1)
      expect((await small.send({ method: 'GET', url: '/api/set-up' })).status).toBe(200);
    const answer = await small.send({ method: 'GET', url: '/api/set-up' });
    expectProblem(answer, 'too-many-requests');
    expect(Number(answer.headers['retry-after'])).toBeGreaterThan(0);
    expect((await small.send({ method: 'GET', url: '/healthz' })).status).toBe(200);
    await small.close();
  });
});

describe('a fault of ours', () => {
  it('tells nothing but the correlation id', () => {
    const secret = new Error('duplicate key in table account: ada@example.org', { cause: new Error('10.0.0.5') });
    const failure = failureFrom(secret, 1);
    const body = problemBody(failure, '3d0f5d0e-0000-4000-8000-000000000000');
    expect(failure.unexpected).toBe(true);
    expect(body).toMatchObject({ status: 500, code: 'internal' });
    expect(JSON.stringify(body)).not.toMatch(/ada|account|10\.0/);
  });

  it('is not what an expected refusal is', () => {
    expect(failureFrom(new AppError('conflict', 'Taken.'), 1)).toMatchObject({ code: 'conflict', unexpected: false });
    expect(failureFrom(undefined, 1)).toMatchObject({ code: 'internal', unexpected: true });
    expect(failureFrom('text', 1)).toMatchObject({ code: 'internal', unexpected: true });
  });

  it('cannot have its own members overwritten by what a service adds', () => {
    const failure = failureFrom(new AppError('conflict', 'Taken.', { status: 200, type: 'x', code: 'y' }), 1);
    expect(problemBody(failure, 'id')).toMatchObject({ status: 409, type: '/problems/conflict', code: 'conflict' });
  });
});

describe('the correlation id', () => {
  it('is the caller’s when it is a UUID, and a new one otherwise', async () => {
    const own = '0190c0de-0000-7000-8000-00000000abcd';
    const kept = await api.send({ method: 'GET', url: '/healthz', headers: { 'x-correlation-id': own } });
    expect(kept.headers['x-correlation-id']).toBe(own);
    const made = await api.send({ method: 'GET', url: '/healthz', headers: { 'x-correlation-id': 'a b' } });
    expect(made.headers['x-correlation-id']).toMatch(/^[0-9a-f-]{36}$/);
  });
});

describe('the explanations', () => {
  it('stand at the address each problem gives as its type', async () => {
    for (const code of problemCodes) {
      const answer = await api.send({ method: 'GET', url: `/problems/${code}` });
      expect(answer.body).toEqual({ code, type: `/problems/${code}`, ...PROBLEMS[code] });
    }
    expect((await api.send({ method: 'GET', url: '/problems' })).body.items).toHaveLength(problemCodes.length);
    expectProblem(await api.send({ method: 'GET', url: '/problems/toString' }), 'not-found');
  });
});

describe('what is not even HTTP', () => {
  let port = 0;
  beforeAll(async () => {
    await api.app.listen(0, '127.0.0.1');
    port = Number(new URL(await api.app.getUrl()).port);
  });

  const exchange = (bytes: string): Promise<string> =>
    new Promise((resolve, reject) => {
      const socket: Socket = connect(port, '127.0.0.1', () => socket.write(bytes));
      let text = '';
      socket.on('data', (data) => {
        text += data;
      });
      socket.on('close', () => resolve(text));
      socket.on('error', reject);
    });

  it.each([
    ['a broken request line', 'NOT HTTP AT ALL\r\n\r\n', 'malformed-request'],
    ['headers without end', `GET / HTTP/1.1\r\nHost: a\r\nX: ${'y'.repeat(40_000)}\r\n\r\n`, 'headers-too-large'],
    [
      'two lengths',
      'POST /api/session HTTP/1.1\r\nHost: a\r\nContent-Length: 5\r\nContent-Length: 6\r\n\r\n{}',
      'malformed-request',
    ],
  ] as const)('is answered as a problem: %s', async (_, bytes, code) => {
    const [head = '', body = ''] = (await exchange(bytes)).split('\r\n\r\n');
    expect(head).toContain(`HTTP/1.1 ${PROBLEMS[code].status} `);
    expect(head).toContain('application/problem+json');
    expect(problemSchema.parse(JSON.parse(body)).code).toBe(code);
  });
});
