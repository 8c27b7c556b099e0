import { describe, expect, it } from '@jest/globals';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { SessionCookie } from './session-cookie.js';

const requestWith = (cookie: string) => ({ headers: { cookie } }) as FastifyRequest;

function sentBy(cookie: SessionCookie): string {
  let sent = '';
  cookie.set(
    {
      header: (_: string, value: string) => {
        sent = value;
      },
    } as unknown as FastifyReply,
    'tok',
    60,
  );
  return sent;
}

describe('the session cookie', () => {
  it('carries the __Host- prefix over TLS with all that the prefix demands (RFC 6265bis section 4.1.3.2)', () => {
    expect(sentBy(new SessionCookie(true))).toBe(
      '__Host-jarfold=tok; Path=/; HttpOnly; SameSite=Strict; Max-Age=60; Secure',
    );
  });

  it('has a bare name on plain-http localhost, where a browser would refuse the prefix', () => {
    expect(sentBy(new SessionCookie(false))).toBe('jarfold=tok; Path=/; HttpOnly; SameSite=Strict; Max-Age=60');
  });

  it('is found among others and only by its whole name', () => {
    const cookie = new SessionCookie(false);
    expect(cookie.read(requestWith('a=1; jarfold=abc; xjarfold=no'))).toBe('abc');
    expect(cookie.read(requestWith('notjarfold=abc'))).toBeUndefined();
  });

  it('is nothing when it comes twice or holds what we never send', () => {
    const cookie = new SessionCookie(false);
    expect(cookie.read(requestWith('jarfold=abc; jarfold=def'))).toBeUndefined();
    expect(cookie.read(requestWith('jarfold=%61bc'))).toBeUndefined();
    expect(cookie.read(requestWith('jarfold='))).toBeUndefined();
  });
});
