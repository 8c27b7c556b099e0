import { isConnectionTrouble } from './database-errors.js';
import type { Log, LogFields } from './log.js';

/** While a connection is away it is tried again many times a second: the same words are said this seldom. */
const SAY_AGAIN_MS = 30_000;

export type SayTrouble = (event: string, error: unknown, fields?: LogFields) => void;

/**
 * Tells of troubles that are tried again by themselves. A lost connection is one short line, where a stack would only
 * show our own retrying; the same words come again after half a minute at the soonest, with how often they were left out.
 * Any other error is told whole, each time.
 * @param nowMs the wall clock, unless a test needs another
 */
export function connectionTroubleLog(log: Log, nowMs: () => number = Date.now): SayTrouble {
  const said = new Map<string, { atMs: number; leftOut: number }>();
  return (event, error, fields = {}) => {
    if (!isConnectionTrouble(error)) return log.warn(event, { ...fields, error });
    const { message, code } = error as Error & { code?: unknown };
    const key = `${event} ${message}`;
    const last = said.get(key);
    if (last && nowMs() - last.atMs < SAY_AGAIN_MS) {
      last.leftOut += 1;
      return;
    }
    said.set(key, { atMs: nowMs(), leftOut: 0 });
    log.warn(event, { ...fields, message: message || code, code, ...(last?.leftOut ? { leftOut: last.leftOut } : {}) });
  };
}
