import { StartUpError } from '@jarfold/server/platform';
import { describe, expect, it } from '@jest/globals';
import { apiSettings } from './settings.js';

function refusal(env: Record<string, string>): string {
  try {
    apiSettings(env);
  } catch (error) {
    if (error instanceof StartUpError) return error.message;
    throw error;
  }
  return 'accepted';
}

describe('the settings of the HTTP edge', () => {
  it('serve localhost over plain http when nothing is set', () => {
    expect(apiSettings({})).toMatchObject({
      host: '127.0.0.1',
      port: 3000,
      tls: null,
      secure: false,
      trustedProxies: [],
    });
    expect(apiSettings({}).signUp).toEqual({ mode: 'closed', operatorToken: null });
  });

  it('treat an empty variable as one that is not set', () => {
    expect(apiSettings({ PORT: '', HOST: '' }).port).toBe(3000);
  });

  it.each(['0.0.0.0', '::', '192.168.1.20', 'farm.example.org'])('refuse plain http on %s in one sentence', (host) => {
    const message = refusal({ HOST: host });
    expect(message).toContain(`HOST=${host}`);
    expect(message).toContain('JARFOLD_BEHIND_PROXY');
    expect(message).not.toContain('\n');
  });

  it.each(['localhost', '127.0.0.1', '127.8.8.8', '::1'])('allow plain http on %s', (host) => {
    expect(apiSettings({ HOST: host }).secure).toBe(false);
  });

  it('count a proxy that speaks TLS as secure, and believe only the proxies named', () => {
    expect(apiSettings({ HOST: '0.0.0.0', JARFOLD_BEHIND_PROXY: '1' })).toMatchObject({ secure: true });
    expect(apiSettings({ JARFOLD_BEHIND_PROXY: '10.0.0.0/8, 2001:db8::1' }).trustedProxies).toEqual([
      '10.0.0.0/8',
      '2001:db8::1',
    ]);
    expect(refusal({ JARFOLD_BEHIND_PROXY: 'yes' })).toContain('"yes"');
    expect(refusal({ JARFOLD_BEHIND_PROXY: '10.0.0.0/33' })).toContain('10.0.0.0/33');
  });

  it('want key and certificate together and readable', () => {
    expect(refusal({ JARFOLD_TLS_KEY: '/x.pem' })).toContain('go together');
    expect(refusal({ JARFOLD_TLS_KEY: '/nowhere/k.pem', JARFOLD_TLS_CERT: '/nowhere/c.pem' })).toContain('ENOENT');
  });

  it('name the variable that is wrong and never print a secret', () => {
    expect(refusal({ PORT: 'abc' })).toMatch(/^PORT /);
    expect(refusal({ PORT: '70000' })).toMatch(/^PORT /);
    expect(refusal({ JARFOLD_SIGN_UP: 'maybe' })).toMatch(/^JARFOLD_SIGN_UP /);
    const short = refusal({ JARFOLD_OPERATOR_TOKEN: 'too-short-secret' });
    expect(short).toMatch(/^JARFOLD_OPERATOR_TOKEN /);
    expect(short).not.toContain('too-short-secret');
  });
});
