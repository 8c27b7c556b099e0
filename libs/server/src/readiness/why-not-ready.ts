import type { PlatformDb } from '../platform/index.js';
import { appliedMigrationNames } from './readiness-repository.js';

/** A balancer asks every second or two: an answer later than this is as good as none. */
const PATIENCE_MS = 1_500;

/**
 * Why the service could not do its work just now, in words that anyone may read; undefined when it could. Asks the
 * database through the same pool that requests use, so an exhausted pool counts as not ready too.
 */
export async function whyNotReady(db: PlatformDb, migrations: readonly string[]): Promise<string | undefined> {
  const answer = db.run(appliedMigrationNames);
  answer.catch(() => undefined); // a failure after the patience ran out has been answered already
  try {
    const applied = await inTime(answer, PATIENCE_MS);
    if (applied === 'too-late') return 'The database did not answer in time.';
    const missing = migrations.filter((name) => !applied.has(name));
    return missing.length === 0
      ? undefined
      : 'The database is of an older version than the program: it is waiting for migrations.';
  } catch {
    return 'The database cannot be reached.';
  }
}

async function inTime<T>(work: Promise<T>, patienceMs: number): Promise<T | 'too-late'> {
  let timer: NodeJS.Timeout | undefined;
  const patience = new Promise<'too-late'>((resolve) => {
    timer = setTimeout(() => resolve('too-late'), patienceMs);
  });
  try {
    return await Promise.race([work, patience]);
  } finally {
    clearTimeout(timer);
  }
}
