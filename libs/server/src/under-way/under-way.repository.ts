import { type GrowerTx, Prisma } from '../platform/index.js';

/** Tables of files that the worker is at, or was: both have a state, an outcome and a beat. */
export type FileTable = 'file_import' | 'file_export';

/** How often work says how far it is, and when silence means that nobody is at it any more. */
export interface Pace {
  readonly tellEveryMs: number;
  /** Work that has not moved for so long no longer says that it lives. */
  readonly hangsAfterMs: number;
  /** Nothing heard for so long: whoever comes next takes it over. */
  readonly silentAfterMs: number;
  /** Begun so often and never ended: it is given up. */
  readonly mostTries: number;
}

/** No step of an import takes a tenth of this, however busy the machine. */
export const usualPace: Pace = { tellEveryMs: 500, hangsAfterMs: 60_000, silentAfterMs: 30_000, mostTries: 6 };

const SETTLED: ReadonlySet<string> = new Set(['applied', 'ready', 'cancelled', 'failed', 'previewed']);

/**
 * Takes a file into hand that waits, or that a worker left behind.
 * - `begun`: it is ours, and marked as running;
 * - `settled`: there is nothing to do, or not any more: begun as often as it may be, it never ended, since whoever was at
 *   it died over it, and could not say so;
 * - `elsewhere`: somebody is at it and was heard of lately.
 * A session that holds it in silence is ended by the database first, and with it everything it has not finished.
 * @param over what is said of a file that is given up
 */
export async function beginFile(
  tx: GrowerTx,
  table: FileTable,
  growerId: string,
  id: string,
  pace: Pace,
  over: string,
): Promise<'begun' | 'settled' | 'elsewhere'> {
  // Before its row is locked: a session that hangs may hold that, too.
  const holders = await holdersOf(tx, id);
  if (holders.length > 0) {
    if (!(await isSilent(tx, table, growerId, id, pace))) return 'elsewhere';
    for (const pid of holders) await tx.$queryRaw`SELECT pg_terminate_backend(${pid}::int, 5000) AS ended`;
  }
  const state = await lockFile(tx, table, growerId, id);
  if (state === null || SETTLED.has(state)) return 'settled';
  if ((await triesOf(tx, table, growerId, id)) >= pace.mostTries) {
    // Delivered a second time, it may be at its last try this moment.
    if (!(await isSilent(tx, table, growerId, id, pace))) return 'elsewhere';
    await settleFile(tx, table, growerId, id, 'failed', over);
    return 'settled';
  }
  await tx.$executeRaw`
    UPDATE ${name(table)} SET state = 'running', beat_at = clock_timestamp(),
           outcome = outcome || jsonb_build_object('tries', coalesce((outcome->>'tries')::int, 0) + 1)
     WHERE grower_id = ${growerId}::uuid AND id = ${id}::uuid`;
  return 'begun';
}

/** The state of a file, held until the transaction ends; null when there is none. */
export async function lockFile(tx: GrowerTx, table: FileTable, growerId: string, id: string): Promise<string | null> {
  const rows = await tx.$queryRaw<{ readonly state: string }[]>`
    SELECT state FROM ${name(table)} WHERE grower_id = ${growerId}::uuid AND id = ${id}::uuid FOR UPDATE`;
  return rows[0]?.state ?? null;
}

/** Marks a transaction as the one that works on a file: false when another does. Ends with the transaction. */
export async function holdFile(tx: GrowerTx, id: string): Promise<boolean> {
  const rows = await tx.$queryRaw<{ readonly held: boolean }[]>`
    SELECT pg_try_advisory_xact_lock(hashtextextended(${id}, 0)) AS held`;
  return rows[0]?.held ?? false;
}

/**
 * Says how far a running file is.
 * @param alive whether its work moved lately
 * @returns the state it has: somebody may have cancelled it
 */
export async function tellFile(
  tx: GrowerTx,
  table: FileTable,
  growerId: string,
  id: string,
  { done, total }: { readonly done: number; readonly total: number },
  alive: boolean,
): Promise<string | null> {
  // Waits for whoever settles the file, so that what is settled is never told anew.
  const state = await lockFile(tx, table, growerId, id);
  if (state !== 'running') return state;
  await tx.$executeRaw`
    UPDATE ${name(table)} SET outcome = outcome || jsonb_build_object('done', ${done}::int, 'total', ${total}::int),
           beat_at = CASE WHEN ${alive} THEN clock_timestamp() ELSE beat_at END
     WHERE grower_id = ${growerId}::uuid AND id = ${id}::uuid`;
  return state;
}

/** Ends a file that is under way without its work done. False when it was settled meanwhile. */
export async function settleFile(
  tx: GrowerTx,
  table: FileTable,
  growerId: string,
  id: string,
  state: 'failed' | 'cancelled',
  result: string,
): Promise<boolean> {
  const before = await lockFile(tx, table, growerId, id);
  if (before !== 'running' && before !== 'waiting') return false;
  await tx.$executeRaw`
    UPDATE ${name(table)} SET state = ${state}, outcome = jsonb_build_object('result', ${result}::text)
     WHERE grower_id = ${growerId}::uuid AND id = ${id}::uuid`;
  return true;
}

/**
 * After a fault: says it, so that a person sees why nothing moves; after too many it is over.
 * @returns whether the work was given up
 */
export async function giveUpAfter(
  tx: GrowerTx,
  table: FileTable,
  growerId: string,
  id: string,
  { mostTries }: Pace,
  says: { readonly again: string; readonly over: string },
): Promise<boolean> {
  if ((await lockFile(tx, table, growerId, id)) !== 'running') return false;
  if ((await triesOf(tx, table, growerId, id)) >= mostTries)
    return settleFile(tx, table, growerId, id, 'failed', says.over);
  await tx.$executeRaw`
    UPDATE ${name(table)} SET outcome = outcome - 'done' - 'total' || jsonb_build_object('result', ${says.again}::text)
     WHERE grower_id = ${growerId}::uuid AND id = ${id}::uuid`;
  return false;
}

async function triesOf(tx: GrowerTx, table: FileTable, growerId: string, id: string): Promise<number> {
  const [row] = await tx.$queryRaw<{ readonly tries: number }[]>`
    SELECT coalesce((outcome->>'tries')::int, 0) AS tries FROM ${name(table)}
     WHERE grower_id = ${growerId}::uuid AND id = ${id}::uuid`;
  return row?.tries ?? 0;
}

/** Sessions of this database that work on a file; the halves of the key stand apart in the list of locks. */
async function holdersOf(tx: GrowerTx, id: string): Promise<number[]> {
  const rows = await tx.$queryRaw<{ readonly pid: number }[]>`
    SELECT l.pid FROM pg_locks l, (SELECT hashtextextended(${id}, 0) AS key) k
     WHERE l.locktype = 'advisory' AND l.granted AND l.objsubid = 1
       AND l.database = (SELECT oid FROM pg_database WHERE datname = current_database())
       AND l.classid::bigint = (k.key >> 32) & 4294967295 AND l.objid::bigint = k.key & 4294967295
       AND l.pid <> pg_backend_pid()`;
  return rows.map(({ pid }) => pid);
}

async function isSilent(tx: GrowerTx, table: FileTable, growerId: string, id: string, pace: Pace): Promise<boolean> {
  const [row] = await tx.$queryRaw<{ readonly silent: boolean }[]>`
    SELECT coalesce(beat_at < clock_timestamp() - make_interval(secs => ${pace.silentAfterMs / 1000}), true) AS silent
      FROM ${name(table)} WHERE grower_id = ${growerId}::uuid AND id = ${id}::uuid`;
  return row?.silent ?? false;
}

const name = (table: FileTable): Prisma.Sql => Prisma.raw(table);
