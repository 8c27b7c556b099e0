import { createHmac } from 'node:crypto';
import pg from 'pg';
import { StartUpError } from './start-up-error.js';

/** The roles Jarfold works as. The owner, who migrates, is the one of DATABASE_URL. */
export const ROLES = { app: 'jarfold_app', platform: 'jarfold_platform', queue: 'jarfold_queue' } as const;
export type RoleName = keyof typeof ROLES;

/**
 * The password of a role, derived from the owner's, so that every process that knows DATABASE_URL can connect as each
 * role without sharing a file. Whoever knows a role's password learns nothing about the owner's.
 */
export function rolePassword(ownerPassword: string, role: RoleName): string {
  return createHmac('sha256', ownerPassword).update(`jarfold role ${role}`).digest('base64url');
}

/** The owner's connection string with a role's name and password put in. */
export function roleUrl(ownerUrl: string, role: RoleName): string {
  const url = new URL(ownerUrl);
  const password = rolePassword(decodeURIComponent(url.password), role);
  url.username = ROLES[role];
  url.password = password;
  return url.toString();
}

/**
 * Makes the roles and gives them their passwords, where that is still to be done. Roles belong to the whole server, so
 * a role that can already sign in is left alone.
 * @param client connected as the owner
 * @throws StartUpError `roles-not-created` when the owner may not create roles and they are missing.
 */
export async function ensureRoles(client: pg.Client, ownerUrl: string, roles: readonly RoleName[]): Promise<void> {
  for (const role of roles) {
    if (await canSignIn(roleUrl(ownerUrl, role))) continue;
    await setPassword(client, role, rolePassword(decodeURIComponent(new URL(ownerUrl).password), role));
  }
}

async function canSignIn(connectionString: string): Promise<boolean> {
  const client = new pg.Client({ connectionString, connectionTimeoutMillis: 5000 });
  client.on('error', () => undefined);
  try {
    await client.connect();
    return true;
  } catch {
    return false;
  } finally {
    await client.end().catch(() => undefined);
  }
}

async function setPassword(client: pg.Client, role: RoleName, password: string): Promise<void> {
  const name = ROLES[role];
  const { rowCount } = await client.query('SELECT 1 FROM pg_roles WHERE rolname = $1', [name]);
  const verb = rowCount === 0 ? 'CREATE' : 'ALTER';
  const sql = `${verb} ROLE ${name} LOGIN NOCREATEDB NOCREATEROLE PASSWORD ${client.escapeLiteral(password)}`;
  await client.query(sql).catch((cause: { code?: string; message: string }) => {
    throw new StartUpError(
      'roles-not-created',
      `The role ${name} cannot be made or given its password by the user of DATABASE_URL (${cause.message}): give that user CREATEROLE, or make jarfold_app, jarfold_platform and jarfold_queue yourself and set DATABASE_APP_URL, DATABASE_PLATFORM_URL and DATABASE_QUEUE_URL.`,
      { cause },
    );
  });
}
