import { resolve } from 'node:path';
import { loadEnv, platformEnvSchema, StartUpError } from '@jarfold/server/platform';
import { z } from 'zod';

export interface LauncherSettings {
  readonly port: number;
  readonly host: string;
  readonly dataFolder: string;
  /** A PostgreSQL of the farm's own, or null for the embedded one. */
  readonly databaseUrl: string | null;
  readonly ownCertificate: { readonly certPath: string; readonly keyPath: string } | null;
  /** TLS ends at a reverse proxy in front. */
  readonly behindProxy: boolean;
}

const environmentSchema = z.object({
  PORT: z.coerce
    .number({ error: 'is not a number' })
    .int('is not a whole number')
    .min(1, 'is below 1')
    .max(65_535, 'is above 65535')
    .default(3000),
  HOST: z.string().default('localhost'),
  JARFOLD_DATA: z.string().default('./data'),
  DATABASE_URL: platformEnvSchema.shape.DATABASE_URL.optional(),
  JARFOLD_TLS_CERT: z.string().optional(),
  JARFOLD_TLS_KEY: z.string().optional(),
  JARFOLD_BEHIND_PROXY: z.string().optional(),
});

const LOOPBACK = new Set(['localhost', '127.0.0.1', '::1']);

/** Whether only this machine can reach the address. */
export const isLoopback = (host: string): boolean => LOOPBACK.has(host);

/**
 * Reads the launcher's settings from the environment. The API reads its own again, and refuses what it cannot use.
 * @throws StartUpError one sentence that names the variable, its value and what it should be.
 */
export function readSettings(env: Readonly<Record<string, string | undefined>>): LauncherSettings {
  const given = loadEnv(environmentSchema, env);
  return {
    port: given.PORT,
    host: given.HOST,
    dataFolder: resolve(given.JARFOLD_DATA),
    databaseUrl: given.DATABASE_URL ?? null,
    ownCertificate: certificate(given.JARFOLD_TLS_CERT, given.JARFOLD_TLS_KEY),
    behindProxy: given.JARFOLD_BEHIND_PROXY !== undefined && given.JARFOLD_BEHIND_PROXY !== '0',
  };
}

function certificate(certPath: string | undefined, keyPath: string | undefined): LauncherSettings['ownCertificate'] {
  if (certPath === undefined && keyPath === undefined) return null;
  if (certPath !== undefined && keyPath !== undefined)
    return { certPath: resolve(certPath), keyPath: resolve(keyPath) };
  throw new StartUpError(
    'bad-environment',
    'Set both JARFOLD_TLS_CERT and JARFOLD_TLS_KEY (two PEM files), or neither.',
  );
}
