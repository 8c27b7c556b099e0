import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi } from '../support/api-app.js';

const PAGE = '<!doctype html><title>Jarfold</title>';

let root: string;
let api: TestApi;
beforeAll(async () => {
  root = await mkdtemp(join(tmpdir(), 'jarfold-web-'));
  await mkdir(join(root, 'assets'));
  await writeFile(join(root, 'index.html'), PAGE);
  await writeFile(join(root, 'assets', 'main-3f9a.js'), 'export {};');
  await writeFile(join(root, 'manifest.webmanifest'), '{}');
  await writeFile(join(root, '..', 'outside.txt'), 'not for anyone');
  api = await startApi({ settings: { webRoot: root } });
});
afterAll(async () => {
  await api.close();
  await rm(root, { recursive: true, force: true });
  await rm(join(root, '..', 'outside.txt'), { force: true });
});

const get = (url: string, headers: Record<string, string> = {}) => api.send({ method: 'GET', url, headers });

describe('the built web app', () => {
  it('answers every address a person may have bookmarked with its page, never cached blindly', async () => {
    for (const url of ['/', '/runs', '/stock/strains/OY3?view=age', '/set-up', '/api-notes']) {
      const answer = await get(url);
      expect([url, answer.status, answer.text]).toEqual([url, 200, PAGE]);
      expect(answer.headers['content-type']).toMatch(/^text\/html/);
      expect(answer.headers['cache-control']).toBe('no-cache');
      expect(String(answer.headers['content-security-policy'])).not.toContain('unsafe');
    }
  });

  it('keeps fingerprinted files for a year and asks again for the others', async () => {
    const script = await get('/assets/main-3f9a.js');
    expect(script.headers['content-type']).toMatch(/javascript/);
    expect(script.headers['cache-control']).toBe('public, max-age=31536000, immutable');
    expect((await get('/manifest.webmanifest')).headers['cache-control']).toBe('no-cache');
  });

  it('answers 304 when the browser has the file already', async () => {
    const first = await get('/');
    const again = await get('/', { 'if-none-match': String(first.headers.etag) });
    expect([again.status, again.text]).toEqual([304, '']);
  });

  it('answers a missing file with a problem and not with the page', async () => {
    for (const url of ['/assets/gone-1234.js', '/favicon.png']) {
      const answer = await get(url);
      expect([answer.status, answer.body.code]).toEqual([404, 'not-found']);
    }
  });

  it('never takes the place of an answer of the service', async () => {
    for (const url of ['/api', '/api/', '/api/nothing', '/problems/nothing', '/healthz/more', '/api/index.html']) {
      const answer = await get(url);
      expect([url, answer.status, answer.headers['content-type']]).toEqual([url, 404, 'application/problem+json']);
    }
  });

  it('gives nothing from outside its folder', async () => {
    for (const url of [
      '/../outside.txt',
      '/%2e%2e/outside.txt',
      '/assets/..%2f..%2foutside.txt',
      '/..%5coutside.txt',
      '//etc/passwd',
      '/%00',
    ]) {
      expect((await get(url)).text).not.toContain('not for anyone');
      expect((await get(url)).text).not.toContain('root:');
    }
  });

  it('takes no changes', async () => {
    const answer = await api.send({ method: 'POST', url: '/runs', body: {} });
    expect([answer.status, answer.body.code]).toEqual([404, 'not-found']);
  });
});

describe('a server without a built web app', () => {
  it('says so, and its API works', async () => {
    const bare = await startApi({ database: api.database, settings: { webRoot: join(root, 'nowhere') } });
    const answer = await bare.send({ method: 'GET', url: '/' });
    expect(answer.status).toBe(404);
    expect(answer.body.detail).toContain('npm run build');
    expect((await bare.send({ method: 'GET', url: '/api/set-up' })).status).toBe(200);
    await bare.close();
  });
});
