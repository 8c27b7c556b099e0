import { describe, expect, it } from '@jest/globals';
import { isLoopback, readSettings } from './settings.js';

describe('the launcher’s settings', () => {
  it('are all optional', () => {
    expect(readSettings({})).toMatchObject({ port: 3000, host: 'localhost', databaseUrl: null, ownCertificate: null });
  });

  it.each(['0', '65536', '3000.5', 'http', '-1'])('refuse the port %p in one sentence that names it', (port) => {
    expect(() => readSettings({ PORT: port })).toThrow(new RegExp(`PORT.*${port}`));
  });

  it.each(['mysql://host/db', 'host:5432', 'postgresql://'])('refuse the database address %p', (url) => {
    expect(() => readSettings({ DATABASE_URL: url })).toThrow(/DATABASE_URL.* is not a PostgreSQL address/);
  });

  it('refuse a certificate without its key', () => {
    expect(() => readSettings({ JARFOLD_TLS_CERT: 'a.pem' })).toThrow(/both JARFOLD_TLS_CERT and JARFOLD_TLS_KEY/);
  });

  it('know which addresses only this machine can reach', () => {
    expect(['localhost', '127.0.0.1', '::1', '0.0.0.0', '192.168.1.5'].map(isLoopback)).toEqual([
      true,
      true,
      true,
      false,
      false,
    ]);
  });
});
