import type { FastifyReply, FastifyRequest } from 'fastify';

/** A cookie's value as we make it: no character that needs encoding. */
const VALUE = /^[A-Za-z0-9_-]{1,128}$/;

/**
 * A cookie that carries a secret token. Over TLS its name carries the `__Host-` prefix, by which a browser promises that it
 * came from this very host over TLS; a browser refuses that prefix over plain http, so localhost gets the bare name.
 */
class TokenCookie {
  readonly name: string;

  constructor(
    private readonly secure: boolean,
    name: string,
  ) {
    this.name = secure ? `__Host-${name}` : name;
  }

  /** The token in the request, or undefined. Two cookies of the name are none: one of them is somebody's planting. */
  read(request: FastifyRequest): string | undefined {
    const pairs = (request.headers.cookie ?? '').split(';').map((pair) => pair.trim());
    const values = pairs.flatMap((pair) =>
      pair.startsWith(`${this.name}=`) ? [pair.slice(this.name.length + 1)] : [],
    );
    const [value] = values;
    return values.length === 1 && value !== undefined && VALUE.test(value) ? value : undefined;
  }

  set(reply: FastifyReply, token: string, maxAgeS: number): void {
    this.send(reply, token, maxAgeS);
  }

  clear(reply: FastifyReply): void {
    this.send(reply, '', 0);
  }

  /** Strict: no other site's link or form ever carries it. The app's own pages load without it and then ask. */
  private send(reply: FastifyReply, value: string, maxAgeS: number): void {
    const attributes = [
      'Path=/',
      'HttpOnly',
      'SameSite=Strict',
      `Max-Age=${maxAgeS}`,
      ...(this.secure ? ['Secure'] : []),
    ];
    reply.header('set-cookie', [`${this.name}=${value}`, ...attributes].join('; '));
  }
}

/** Says who is signed in. */
export class SessionCookie extends TokenCookie {
  constructor(secure: boolean) {
    super(secure, 'jarfold');
  }
}

/** Says which enrolled tablet this is. It outlasts every sign-in on it. */
export class DeviceCookie extends TokenCookie {
  constructor(secure: boolean) {
    super(secure, 'jarfold-device');
  }
}

/** The longest a browser keeps a cookie (RFC 6265bis, section 5.5); each time the tablet asks who it is, it starts anew. */
export const DEVICE_COOKIE_S = 400 * 86_400;
