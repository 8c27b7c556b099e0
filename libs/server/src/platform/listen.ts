import pg from 'pg';
import { connectionTroubleLog } from './connection-trouble-log.js';
import type { Log } from './log.js';

/** A connection that waits for notifications of the database. */
export interface Listening {
  close(): Promise<void>;
}

const RECONNECT_MS = 5_000;

/**
 * Calls back whenever the database notifies a channel, and once after each (re)connection, because what was notified
 * while nobody listened is lost. Whoever uses this polls as well: a notification only makes it quicker.
 */
export function listen(url: string, channel: string, onNotified: () => void, log: Log): Listening {
  const say = connectionTroubleLog(log);
  let client: pg.Client | null = null;
  let timer: NodeJS.Timeout | null = null;
  let closed = false;

  const connect = async (): Promise<void> => {
    const fresh = new pg.Client({ connectionString: url, application_name: 'jarfold-listen' });
    client = fresh;
    fresh.on('error', (error) => again(fresh, error));
    fresh.on('end', () => again(fresh, new Error('The connection ended.')));
    fresh.on('notification', onNotified);
    try {
      await fresh.connect();
      await fresh.query(`LISTEN ${fresh.escapeIdentifier(channel)}`);
      onNotified();
    } catch (error) {
      again(fresh, error as Error);
    }
  };
  const again = (lost: pg.Client, error: Error): void => {
    if (closed || client !== lost) return;
    client = null;
    say('listening-lost', error, { channel });
    lost.end().catch(() => undefined);
    timer = setTimeout(() => void connect(), RECONNECT_MS);
  };

  void connect();
  return {
    close: async () => {
      closed = true;
      if (timer) clearTimeout(timer);
      await client?.end().catch(() => undefined);
    },
  };
}
