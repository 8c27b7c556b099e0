import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { createServer } from 'node:https';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { connect } from 'node:tls';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { authorityFingerprint, localTls, type TlsFiles } from './local-authority.js';

const NOW = Date.now();
let folder: string;
let files: TlsFiles;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'jarfold-tls-'));
  files = await localTls(folder, ['spawn-room.example', '127.0.0.1'], NOW);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Connects as a tablet that trusts the given authority would, under a name; resolves to null or the error's code. */
async function handshake(name: string, authority: string | undefined): Promise<string | null> {
  const server = createServer({ cert: readFileSync(files.certPath), key: readFileSync(files.keyPath) });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  const socket = connect({
    port,
    host: '127.0.0.1',
    servername: name,
    ...(authority ? { ca: authority } : {}),
  });
  const answer = await new Promise<string | null>((resolve) => {
    socket.once('secureConnect', () => resolve(null));
    socket.once('error', (error: NodeJS.ErrnoException) => resolve(error.code ?? error.message));
  });
  socket.destroy();
  server.close();
  server.closeAllConnections();
  return answer;
}

describe('the local authority', () => {
  it('is enough for a tablet that trusts it, on a name that is not localhost', async () => {
    expect(await handshake('spawn-room.example', readFileSync(files.authorityPath, 'utf8'))).toBeNull();
  });

  it('does not vouch for a name the certificate was not made for', async () => {
    expect(await handshake('elsewhere.example', readFileSync(files.authorityPath, 'utf8'))).toBe(
      'ERR_TLS_CERT_ALTNAME_INVALID',
    );
  });

  it('is refused by a tablet that does not know it', async () => {
    expect(await handshake('spawn-room.example', undefined)).toMatch(/SELF_SIGNED|UNABLE_TO/);
  });

  it('keeps its keys to itself', () => {
    expect(statSync(files.keyPath).mode & 0o077).toBe(0);
    expect(statSync(join(folder, 'jarfold-authority.key')).mode & 0o077).toBe(0);
  });

  it('stays the same over a restart, so that tablets trust it once', async () => {
    const before = [readFileSync(files.authorityPath, 'utf8'), readFileSync(files.certPath, 'utf8')];
    await localTls(folder, ['127.0.0.1'], NOW + 1000);
    expect([readFileSync(files.authorityPath, 'utf8'), readFileSync(files.certPath, 'utf8')]).toEqual(before);
    expect(await authorityFingerprint(files.authorityPath)).toMatch(/^([0-9A-F]{2}:){31}[0-9A-F]{2}$/);
  });

  it('signs a new server certificate, itself unchanged, for a new name and near the old one’s end', async () => {
    const authority = readFileSync(files.authorityPath, 'utf8');
    const first = readFileSync(files.certPath, 'utf8');
    await localTls(folder, ['spawn-room.example', '127.0.0.1', '192.168.7.7'], NOW);
    const second = readFileSync(files.certPath, 'utf8');
    expect(second).not.toBe(first);
    await localTls(folder, ['spawn-room.example', '127.0.0.1', '192.168.7.7'], NOW + 380 * 86_400_000);
    expect(readFileSync(files.certPath, 'utf8')).not.toBe(second);
    expect(readFileSync(files.authorityPath, 'utf8')).toBe(authority);
  });
});
