import { X509Certificate } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { localTls } from '../../apps/launcher/src/local-authority.js';
import { startApi, type TestApi } from '../support/api-app.js';

const folder = mkdtempSync(join(tmpdir(), 'jarfold-trust-'));
let pem: Buffer;
let withAuthority: TestApi;
let without: TestApi;

beforeAll(async () => {
  const { authorityPath } = await localTls(folder, ['farm.example'], Date.now());
  pem = readFileSync(authorityPath);
  without = await startApi();
  withAuthority = await startApi({ database: without.database, settings: { authority: pem } });
});
afterAll(async () => {
  await withAuthority.close();
  await without.close();
  rmSync(folder, { recursive: true, force: true });
});

describe('trusting a farm’s own server', () => {
  it('shows the fingerprint a tablet will show, before anybody signs in', async () => {
    const { status, body } = await withAuthority.send({ method: 'GET', url: '/api/trust' });
    expect(status).toBe(200);
    expect(body.authority.fingerprint).toBe(new X509Certificate(pem).fingerprint256);
    expect(body.authority.file).toBe('/jarfold-authority.crt');
  });

  it('hands out the certificate as one to install, and never a key', async () => {
    const { status, headers, text } = await withAuthority.send({ method: 'GET', url: '/jarfold-authority.crt' });
    expect([status, headers['content-type']]).toEqual([200, 'application/x-x509-ca-cert']);
    expect(text).toBe(pem.toString());
    expect(text).not.toContain('PRIVATE KEY');
  });

  it('says so where a known authority vouches for the server', async () => {
    expect((await without.send({ method: 'GET', url: '/api/trust' })).body).toEqual({ authority: null });
    expect((await without.send({ method: 'GET', url: '/jarfold-authority.crt' })).status).toBe(404);
  });
});
