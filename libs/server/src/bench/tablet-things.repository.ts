import { TABLET_KINDS, type TabletKind, type TabletThings } from '@jarfold/contracts';
import type { BenchThings, CalendarDay } from '@jarfold/domain';
import type { GrowerTx } from '../platform/index.js';
import { thingFromRow } from './things.mapper.js';
import { loadThingsOf } from './things.repository.js';

/**
 * What a tablet gets at first: jars that stand somewhere or went lately, the lots, batches and cycles they came from,
 * and whatever was made or begun lately.
 */
const SINCE = 'WITH since AS (SELECT $2::date AS gone_from, $3::date AS made_from)';
const JARS = '(j.gone_on IS NULL OR j.gone_on >= since.gone_from)';
const LOTS = `(l.made_on >= since.made_from OR EXISTS (
  SELECT FROM jar j WHERE j.grower_id = $1::uuid AND j.lot_id = l.id AND ${JARS}))`;
const SELECTS: Readonly<Record<TabletKind, string>> = {
  jar: `SELECT to_jsonb(j) AS row FROM since, jar j WHERE j.grower_id = $1::uuid AND ${JARS} ORDER BY j.code`,
  lot: `SELECT to_jsonb(l) AS row FROM since, lot l WHERE l.grower_id = $1::uuid AND ${LOTS} ORDER BY l.code`,
  grainBatch: `SELECT to_jsonb(b) AS row FROM since, grain_batch b WHERE b.grower_id = $1::uuid AND (b.begun_on >= since.made_from
        OR EXISTS (SELECT FROM lot l WHERE l.grower_id = $1::uuid AND l.grain_batch_id = b.id AND ${LOTS}))
        ORDER BY b.code`,
  cycle: `SELECT to_jsonb(c) AS row FROM since, steriliser_cycle c WHERE c.grower_id = $1::uuid AND (c.started_on >= since.made_from
        OR EXISTS (SELECT FROM lot l WHERE l.grower_id = $1::uuid AND l.cycle_id = c.id AND ${LOTS}))
        ORDER BY c.code`,
  pool: `SELECT to_jsonb(p) AS row FROM since, container_pool p WHERE p.grower_id = $1::uuid ORDER BY p.size_id`,
};

export async function thingsForTablet(
  tx: GrowerTx,
  growerId: string,
  since: { readonly goneFrom: CalendarDay; readonly madeFrom: CalendarDay },
): Promise<TabletThings> {
  const things: Partial<Record<TabletKind, readonly unknown[]>> = {};
  for (const kind of TABLET_KINDS) {
    const rows = await tx.$queryRawUnsafe<{ row: Readonly<Record<string, unknown>> }[]>(
      `${SINCE} ${SELECTS[kind]}`,
      growerId,
      since.goneFrom,
      since.madeFrom,
    );
    things[kind] = rows.map(({ row }) => thingFromRow[kind](row));
  }
  return things as unknown as TabletThings;
}

export interface ChangedThing {
  readonly kind: TabletKind;
  readonly id: string;
  readonly state: BenchThings[TabletKind] | null;
}

/** The state, as it is now, of everything that applied entries after a position have touched. */
export async function thingsTouchedAfter(tx: GrowerTx, growerId: string, after: number): Promise<ChangedThing[]> {
  const touched = await tx.$queryRaw<{ thing_id: string }[]>`
    SELECT DISTINCT thing_id FROM bench_entry_thing WHERE grower_id = ${growerId}::uuid AND position > ${after}`;
  const ids = touched.map(({ thing_id }) => thing_id);
  const wanted = new Map(TABLET_KINDS.map((kind) => [kind, ids]));
  const stored = (await loadThingsOf(tx, growerId, wanted)) as { kind: TabletKind; state: BenchThings[TabletKind] }[];
  const changed = stored.map(({ kind, state }) => ({ kind, id: state.id, state }));
  const found = new Set(changed.map(({ id }) => id));
  // What is linked and is no thing now is an entry, a harvest, or a thing whose making was taken back.
  const goneKinds = await kindsMadeOnce(
    tx,
    growerId,
    ids.filter((id) => !found.has(id)),
  );
  return [...changed, ...goneKinds.map(({ kind, id }) => ({ kind, id, state: null }))];
}

/** What kind a thing was that is there no more: told by the entries that made it, which stay in the log. */
async function kindsMadeOnce(
  tx: GrowerTx,
  growerId: string,
  ids: readonly string[],
): Promise<{ kind: TabletKind; id: string }[]> {
  if (ids.length === 0) return [];
  return tx.$queryRaw<{ kind: TabletKind; id: string }[]>`
    SELECT DISTINCT t.thing_id::text AS id,
      CASE WHEN e.payload ->> 'lotId' = t.thing_id::text THEN 'lot'
           WHEN e.payload ->> 'grainBatchId' = t.thing_id::text THEN 'grainBatch'
           WHEN e.payload ->> 'cycleId' = t.thing_id::text THEN 'cycle'
           WHEN e.payload ->> 'sizeId' = t.thing_id::text THEN 'pool'
           ELSE 'jar' END AS kind
    FROM bench_entry_thing t JOIN bench_entry e ON e.grower_id = t.grower_id AND e.position = t.position
    WHERE t.grower_id = ${growerId}::uuid AND t.thing_id = ANY(${[...ids]}::uuid[])
      AND e.kind IN ('inoculated', 'received', 'culture_made', 'blanks_kept', 'cycle_started', 'washed',
        'containers_counted', 'grain_soaked', 'grain_simmered', 'grain_drained', 'grain_rested', 'grain_filled')`;
}
