import {
  deriveThings,
  type LoggedEntry,
  type ThingAfter,
  type ThingKind,
  type ThingRef,
  thingKey,
  thingsOf,
  voidedEntries,
} from '@jarfold/domain';
import type { GrowerTx } from '../platform/index.js';
import { loggedFromRow } from './entry.mapper.js';
import { entriesAfter, replaceVoids } from './log.repository.js';
import { forgetAllThings, idsOfKind, saveChanges } from './things.repository.js';

export interface RebuildReport {
  readonly entries: number;
  readonly things: number;
}

const PAGE = 5000;
const KINDS: readonly ThingKind[] = ['harvest', 'pool', 'jar', 'lot', 'cycle', 'grainBatch'];

/** Replays a grower's log and stores what follows from it. The caller holds the log's lock. */
export async function rebuild(tx: GrowerTx, growerId: string): Promise<RebuildReport> {
  const log = await readLog(tx, growerId);
  const voided = voidedEntries(log);
  const standing = log.filter(({ entry }) => !voided.has(entry.id));
  const derived = deriveThings(refsOf(log), standing);
  if (derived.outcome === 'refused') {
    throw new Error(`The log of grower ${growerId} cannot be replayed: ${JSON.stringify(derived.obstacles)}`);
  }
  await forgetAllThings(tx, growerId);
  const things = [...derived.things, ...(await orphans(tx, growerId, derived.things))];
  await saveChanges(tx, growerId, { things, forgetDrawsOf: [], draws: derived.draws });
  const voids = [...voided].map(([entry_id, voided_by]) => ({ entry_id, voided_by }));
  await replaceVoids(tx, growerId, [...voided.keys()], voids);
  return { entries: log.length, things: things.filter(({ state }) => state !== null).length };
}

async function readLog(tx: GrowerTx, growerId: string): Promise<LoggedEntry[]> {
  const log: LoggedEntry[] = [];
  for (let after = 0; ; ) {
    const rows = await entriesAfter(tx, growerId, after, PAGE);
    const last = rows.at(-1);
    if (!last) return log;
    for (const row of rows) if (row.outcome === 'applied') log.push(loggedFromRow(row));
    after = last.position;
  }
}

function refsOf(log: readonly LoggedEntry[]): readonly ThingRef[] {
  const refs = log.flatMap(({ entry }) => (entry.kind === 'corrected' ? [] : thingsOf(entry)));
  return [...new Map(refs.map((ref) => [thingKey(ref), ref])).values()];
}

/** Rows that no entry accounts for: they go. */
async function orphans(tx: GrowerTx, growerId: string, derived: readonly ThingAfter[]): Promise<ThingAfter[]> {
  const known = new Set(derived.map(thingKey));
  const found: ThingAfter[] = [];
  for (const kind of KINDS) {
    for (const id of await idsOfKind(tx, growerId, kind)) {
      if (!known.has(thingKey({ kind, id }))) found.push({ kind, id, state: null } as ThingAfter);
    }
  }
  return found;
}
