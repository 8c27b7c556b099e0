/** The real process: `node apps/api/dist/main.js`, built, on a real port, with real signals. */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { Agent, createServer, type IncomingHttpHeaders, request, type Server } from 'node:http';
import { request as httpsRequest } from 'node:https';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { createGrower } from '@jarfold/server';
import { afterAll, afterEach, beforeAll, describe, expect, it } from '@jest/globals';
import { localTls } from '../../apps/launcher/src/local-authority.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

const MAIN = fileURLToPath(new URL('../../apps/api/dist/main.js', import.meta.url));

interface Started {
  readonly child: ChildProcess;
  readonly output: () => string;
  readonly ended: Promise<number | null>;
}

let database: TestDatabase;
const children: ChildProcess[] = [];
const holders: Server[] = [];
beforeAll(async () => {
  database = await createTestDatabase();
});
afterAll(() => database.close());
afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL');
  for (const holder of holders.splice(0)) holder.close();
});

function start(env: Record<string, string>): Started {
  const child = spawn(process.execPath, [MAIN], {
    env: { PATH: process.env.PATH ?? '', ...database.env, JARFOLD_LOG_LEVEL: 'info', ...env },
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
  });
  children.push(child);
  let text = '';
  child.stdout?.on('data', (data) => {
    text += data;
  });
  child.stderr?.on('data', (data) => {
    text += data;
  });
  return { child, output: () => text, ended: new Promise((resolve) => child.on('close', resolve)) };
}

async function listening(started: Started): Promise<number> {
  const message = await Promise.race([
    new Promise<{ address: string }>((resolve) =>
      started.child.once('message', (sent) => resolve(sent as { address: string })),
    ),
    started.ended.then((code) => Promise.reject(new Error(`ended with ${code}: ${started.output()}`))),
  ]);
  return Number(new URL(message.address).port);
}

/** The status, or the code of what went wrong. */
function get(port: number, path: string, agent: Agent): Promise<number | string> {
  return new Promise((resolve) => {
    const sent = request({ port, host: '127.0.0.1', agent, path }, (response) => {
      response.resume();
      response.on('end', () => resolve(response.statusCode ?? 0));
    });
    sent.on('error', (error: NodeJS.ErrnoException) => resolve(error.code ?? 'error'));
    sent.end();
  });
}

/** Sends the head of a request and waits until the server has taken it up; the answer sends the body. */
function beginPost(port: number, path: string, body: string): Promise<() => Promise<number>> {
  return new Promise((resolve, reject) => {
    const headers = {
      'content-type': 'application/json',
      'content-length': Buffer.byteLength(body),
      expect: '100-continue',
    };
    const sent = request({
      port,
      host: '127.0.0.1',
      agent: new Agent({ keepAlive: true }),
      path,
      method: 'POST',
      headers,
    });
    const answered = new Promise<number>((answer, fail) => {
      sent.on('error', fail);
      sent.on('response', (response) => {
        response.resume();
        response.on('end', () => answer(response.statusCode ?? 0));
      });
    });
    sent.on('error', reject);
    sent.on('continue', () =>
      resolve(() => {
        sent.end(body);
        return answered;
      }),
    );
    sent.flushHeaders();
  });
}

function postOverTls(
  port: number,
  ca: Buffer,
  path: string,
  body: object,
): Promise<{ status: number; headers: IncomingHttpHeaders }> {
  return new Promise((resolve, reject) => {
    const headers = { 'content-type': 'application/json' };
    const sent = httpsRequest({ port, host: 'localhost', ca, path, method: 'POST', headers }, (response) => {
      response.resume();
      response.on('end', () => resolve({ status: response.statusCode ?? 0, headers: response.headers }));
    });
    sent.on('error', reject);
    sent.end(JSON.stringify(body));
  });
}

describe('the process', () => {
  it('finishes what is in flight on SIGTERM, lets go of kept-alive connections, and ends with 0', async () => {
    const farm = {
      farmName: 'Stopping farm',
      timeZone: 'Europe/Vienna',
      email: 'stop@example.org',
      password: 'kettle lantern moss',
    };
    await createGrower(database.platformDb, farm);
    const started = start({ PORT: '0' });
    const port = await listening(started);
    const idle = new Agent({ keepAlive: true });
    expect(await get(port, '/healthz', idle)).toBe(200);
    const body = JSON.stringify({ email: farm.email, password: farm.password });
    const begun = await Promise.all([1, 2, 3].map(() => beginPost(port, '/api/session', body)));
    started.child.kill('SIGTERM');
    started.child.kill('SIGTERM');
    while ((await get(port, '/healthz', new Agent())) !== 'ECONNREFUSED') await sleep(20);
    expect(await Promise.all(begun.map((finish) => finish()))).toEqual([201, 201, 201]);
    expect(await started.ended).toBe(0);
  });

  it('writes one JSON line per request with its correlation id, route and grower, and no secret', async () => {
    const farm = {
      farmName: 'Logging farm',
      timeZone: 'Europe/Vienna',
      email: 'log@example.org',
      password: 'kettle lantern moss',
    };
    const { growerId } = await createGrower(database.platformDb, farm);
    const started = start({ PORT: '0' });
    const port = await listening(started);
    const id = '0190c0de-0000-7000-8000-00000000abcd';
    const signedIn = await fetch(`http://127.0.0.1:${port}/api/session`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ email: farm.email, password: farm.password }),
    });
    const cookie = signedIn.headers.getSetCookie()[0]?.split(';')[0] ?? '';
    await fetch(`http://127.0.0.1:${port}/api/sessions?x=${farm.password}`, {
      headers: { cookie, 'x-correlation-id': id },
    });
    await fetch(`http://127.0.0.1:${port}/api/sessions/${growerId}`, { method: 'DELETE', headers: { cookie } });
    started.child.kill('SIGINT');
    expect(await started.ended).toBe(0);
    const lines = started
      .output()
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, unknown>);
    expect(lines.find(({ correlationId }) => correlationId === id)).toMatchObject({
      event: 'request',
      method: 'GET',
      route: '/api/sessions',
      status: 200,
      growerId,
    });
    expect(lines.filter(({ event }) => event === 'request')).toHaveLength(3);
    for (const secret of [farm.password, farm.email, cookie.split('=')[1] ?? '', 'argon2']) {
      expect(started.output()).not.toContain(secret);
    }
    expect(lines.some(({ route }) => route === '/api/sessions/:sessionId')).toBe(true);
  });

  it('speaks TLS with a given certificate: a __Host- cookie, HSTS, and no plain http on that port', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'jarfold-tls-'));
    const { certPath, keyPath, authorityPath } = await localTls(folder, ['localhost'], Date.now());
    const started = start({ PORT: '0', HOST: '0.0.0.0', JARFOLD_TLS_CERT: certPath, JARFOLD_TLS_KEY: keyPath });
    const port = await listening(started);
    const farm = {
      farmName: 'TLS farm',
      timeZone: 'Europe/Vienna',
      email: 'tls@example.org',
      password: 'kettle lantern moss',
    };
    await createGrower(database.platformDb, farm);
    const { status, headers } = await postOverTls(port, await readFile(authorityPath), '/api/session', {
      email: farm.email,
      password: farm.password,
    });
    expect(status).toBe(201);
    expect(headers['set-cookie']?.[0]).toMatch(/^__Host-jarfold=.*; Secure$/);
    expect(headers['strict-transport-security']).toBe('max-age=31536000');
    expect(await get(port, '/healthz', new Agent())).not.toBe(200);
    await rm(folder, { recursive: true, force: true });
  });

  it('is ended by one sentence when its port is taken', async () => {
    const holder = createServer();
    holders.push(holder);
    await new Promise<void>((resolve) => holder.listen(0, '127.0.0.1', resolve));
    const { port } = holder.address() as { port: number };
    const started = start({ PORT: String(port) });
    expect(await started.ended).toBe(1);
    expect(started.output().trim()).toBe(
      `Port ${port} on 127.0.0.1 is in use: stop what holds it, or set PORT to another one.`,
    );
  });

  it.each([
    ['plain http beyond localhost', { HOST: '0.0.0.0' }, /^HOST=0\.0\.0\.0 would serve plain http/],
    ['a port that is none', { PORT: 'abc' }, /^PORT is "abc"/],
    ['an address that is no database', { DATABASE_URL: 'nonsense' }, /^DATABASE_URL /],
    ['a database that does not answer', { DATABASE_URL: 'postgresql://u:p@127.0.0.1:1/x' }, /./],
  ])('is ended by one sentence for %s', async (_, env, sentence) => {
    const started = start({ PORT: '0', ...(env as Record<string, string>) });
    expect(await started.ended).toBe(1);
    expect(started.output().trim()).toMatch(sentence);
    expect(started.output().trim().split('\n')).toHaveLength(1);
  });
});
