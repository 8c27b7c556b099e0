import pg from 'pg';
import { StartUpError } from './start-up-error.js';

/** The server and database of a connection string, without user or password: safe to print. */
export function describeTarget(connectionString: string): string {
  const url = new URL(connectionString);
  return `${url.hostname}:${url.port || '5432'}${url.pathname}`;
}

/**
 * Connects, or says in one sentence why not.
 * @throws StartUpError `database-unreachable`, `database-refused-password`, `database-missing`
 */
export async function connectOrExplain(connectionString: string, setting = 'DATABASE_URL'): Promise<pg.Client> {
  const client = new pg.Client({
    connectionString,
    connectionTimeoutMillis: 10_000,
    application_name: 'jarfold-start',
  });
  client.on('error', () => undefined); // a lost connection surfaces in the query that needs it
  try {
    await client.connect();
    return client;
  } catch (cause) {
    await client.end().catch(() => undefined);
    throw explain(cause as NodeJS.ErrnoException, connectionString, setting);
  }
}

function explain(cause: NodeJS.ErrnoException, connectionString: string, setting: string): StartUpError {
  const target = describeTarget(connectionString);
  const user = decodeURIComponent(new URL(connectionString).username);
  switch (cause.code) {
    case '28P01':
    case '28000':
      return new StartUpError(
        'database-refused-password',
        `The database at ${target} refused user "${user}": check the user and password in ${setting}.`,
        { cause },
      );
    case '3D000':
      return new StartUpError(
        'database-missing',
        `The server of ${setting} answers, but there is no database at ${target}: create it, owned by "${user}".`,
        { cause },
      );
    default:
      return new StartUpError(
        'database-unreachable',
        `The database at ${target} cannot be reached (${cause.code ?? cause.message}): check that it runs and that ${setting} is right.`,
        { cause },
      );
  }
}
