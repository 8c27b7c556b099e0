import { readFileSync } from 'node:fs';
import { isIP } from 'node:net';
import { fileURLToPath } from 'node:url';
import { loadEnv, StartUpError } from '@jarfold/server/platform';
import { z } from 'zod';
import type { SignUp } from './identity/sign-up-policy.js';

export interface ApiSettings {
  readonly host: string;
  readonly port: number;
  /** Certificate and key to speak TLS with; null for plain http. */
  readonly tls: { readonly key: Buffer; readonly cert: Buffer } | null;
  /** Certificate of the farm's own authority, handed to tablets; null where another vouches for the server. */
  readonly authority: Buffer | null;
  /** Addresses of proxies whose X-Forwarded-* headers are believed; empty when there is none. */
  readonly trustedProxies: readonly string[];
  /** True when browsers reach the service over TLS, ours or a proxy's. */
  readonly secure: boolean;
  readonly webRoot: string;
  readonly signUp: SignUp;
  readonly requestsPerMinute: number;
}

const wholeNumber = (least: number, most: number) =>
  z.coerce
    .number({ error: 'is not a number' })
    .int('is not a whole number')
    .min(least, `is below ${least}`)
    .max(most, `is above ${most}`);

const environmentSchema = z.object({
  HOST: z.string().default('127.0.0.1'),
  PORT: wholeNumber(0, 65_535).default(3000),
  JARFOLD_TLS_KEY: z.string().optional(),
  JARFOLD_TLS_CERT: z.string().optional(),
  JARFOLD_TLS_AUTHORITY: z.string().optional(),
  JARFOLD_BEHIND_PROXY: z.string().optional(),
  JARFOLD_WEB_ROOT: z.string().optional(),
  JARFOLD_SIGN_UP: z.enum(['open', 'closed'], { error: 'is neither open nor closed' }).default('closed'),
  JARFOLD_OPERATOR_TOKEN: z.string().min(32, 'is shorter than 32 characters').optional(),
  JARFOLD_REQUESTS_PER_MINUTE: wholeNumber(1, 1_000_000).default(1200),
});

const WEB_ROOT = fileURLToPath(new URL('../../web/dist/app', import.meta.url));

/** The ranges in which a reverse proxy of one's own lives (loopback, link-local, RFC 1918 and RFC 4193). */
const OWN_NETWORK = ['loopback', 'linklocal', 'uniquelocal'];

/**
 * Reads what the HTTP edge needs from the environment (docs/api.md lists the names).
 * @throws StartUpError `bad-environment` with one sentence that names the variable.
 */
export function apiSettings(env: Readonly<Record<string, string | undefined>>): ApiSettings {
  const given = loadEnv(environmentSchema, env);
  const tls = tlsFiles(given.JARFOLD_TLS_KEY, given.JARFOLD_TLS_CERT);
  const trustedProxies = proxies(given.JARFOLD_BEHIND_PROXY);
  const secure = tls !== null || trustedProxies.length > 0;
  if (!secure && !isLoopback(given.HOST)) throw badSetting(plainHttpRefused(given.HOST));
  return {
    host: given.HOST,
    port: given.PORT,
    tls,
    authority: given.JARFOLD_TLS_AUTHORITY ? readPem('JARFOLD_TLS_AUTHORITY', given.JARFOLD_TLS_AUTHORITY) : null,
    trustedProxies,
    secure,
    webRoot: given.JARFOLD_WEB_ROOT ?? WEB_ROOT,
    signUp:
      given.JARFOLD_SIGN_UP === 'open'
        ? { mode: 'open' }
        : { mode: 'closed', operatorToken: given.JARFOLD_OPERATOR_TOKEN ?? null },
    requestsPerMinute: given.JARFOLD_REQUESTS_PER_MINUTE,
  };
}

function badSetting(sentence: string): StartUpError {
  return new StartUpError('bad-environment', sentence);
}

function plainHttpRefused(host: string): string {
  return `HOST=${host} would serve plain http beyond this machine, where passwords could be read on the way: set JARFOLD_TLS_CERT and JARFOLD_TLS_KEY, or JARFOLD_BEHIND_PROXY=1 behind a proxy that speaks TLS, or leave HOST out for localhost only.`;
}

function isLoopback(host: string): boolean {
  return host === 'localhost' || host === '::1' || (isIP(host) === 4 && host.startsWith('127.'));
}

function tlsFiles(key: string | undefined, cert: string | undefined): ApiSettings['tls'] {
  if (key === undefined && cert === undefined) return null;
  if (key === undefined || cert === undefined) {
    throw badSetting('JARFOLD_TLS_KEY and JARFOLD_TLS_CERT go together: set both to paths of PEM files, or neither.');
  }
  return { key: readPem('JARFOLD_TLS_KEY', key), cert: readPem('JARFOLD_TLS_CERT', cert) };
}

function readPem(name: string, path: string): Buffer {
  try {
    return readFileSync(path);
  } catch (error) {
    throw badSetting(`${name}=${path} cannot be read: ${(error as NodeJS.ErrnoException).code}.`);
  }
}

/** `1` trusts proxies on this machine or the local network; otherwise a list of addresses or ranges. */
function proxies(value: string | undefined): string[] {
  if (value === undefined || value === '0') return [];
  if (value === '1') return OWN_NETWORK;
  const ranges = value.split(',').map((range) => range.trim());
  const wrong = ranges.find((range) => !isRange(range));
  if (wrong !== undefined) {
    throw badSetting(
      `JARFOLD_BEHIND_PROXY holds "${wrong}": give 1, or addresses such as 10.0.0.5 or 10.0.0.0/8, with commas between.`,
    );
  }
  return ranges;
}

function isRange(range: string): boolean {
  const [address = '', bits, ...rest] = range.split('/');
  const version = isIP(address);
  if (version === 0 || rest.length > 0) return false;
  return bits === undefined || (/^\d{1,3}$/.test(bits) && Number(bits) <= (version === 4 ? 32 : 128));
}
