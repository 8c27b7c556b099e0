import type { BenchThings, LedgerChanges, ShelfPlace, ThingAfter, ThingKind } from '@jarfold/domain';
import type { GrowerTx } from '../platform/index.js';
import { byKind } from './by-kind.js';
import {
  cycleRow,
  drawRow,
  grainBatchRow,
  harvestRow,
  jarRow,
  lotRow,
  poolRow,
  thingFromRow,
} from './things.mapper.js';

type Json = Readonly<Record<string, unknown>>;

interface ThingTable {
  readonly table: string;
  readonly key: string;
  /** Column and type of everything the log writes; other columns of the table belong to others. */
  readonly columns: Readonly<Record<string, string>>;
}

const JAR_COLUMNS = {
  id: 'uuid',
  code: 'text',
  lot_id: 'uuid',
  serial: 'int',
  strain_id: 'uuid',
  generation: 'smallint',
  size_id: 'uuid',
  mother_jar_id: 'uuid',
  state: 'text',
  blank: 'boolean',
  made_on: 'date',
  made_at: 'timestamptz',
  made_g: 'numeric',
  drawn_g: 'numeric',
  left_g: 'numeric',
  discarded_g: 'numeric',
  made_g_estimated: 'boolean',
  colonised_share: 'numeric',
  colonised_at: 'timestamptz',
  ripe_on: 'date',
  chilled_on: 'date',
  warmed_on: 'date',
  cold_changed_at: 'timestamptz',
  opened_on: 'date',
  kept_as_mother: 'boolean',
  mother_changed_at: 'timestamptz',
  contaminated_on: 'date',
  finding: 'text',
  finding_sure: 'boolean',
  shaken_on: 'date',
  shakes: 'smallint',
  regrowth_on: 'date',
  regrowth_days: 'smallint',
  regrew: 'boolean',
  shelf_id: 'uuid',
  shelf_row: 'smallint',
  shelf_place: 'smallint',
  placed_at: 'timestamptz',
  gone_at: 'timestamptz',
  gone_on: 'date',
  gone_reason: 'text',
};

const TABLES: Readonly<Record<ThingKind, ThingTable>> = {
  grainBatch: {
    table: 'grain_batch',
    key: 'id',
    columns: {
      id: 'uuid',
      code: 'text',
      grain: 'text',
      begun_on: 'date',
      stage: 'text',
      step_at: 'jsonb',
      dry_grain_g: 'numeric',
      hydrated_g: 'numeric',
      moisture_share: 'numeric',
      filled: 'jsonb',
      loaded: 'jsonb',
    },
  },
  cycle: {
    table: 'steriliser_cycle',
    key: 'id',
    columns: {
      id: 'uuid',
      code: 'text',
      steriliser: 'text',
      method: 'text',
      stage: 'text',
      started_on: 'date',
      started_at: 'timestamptz',
      held_at: 'timestamptz',
      ended_at: 'timestamptz',
      cooled_at: 'timestamptz',
      hold_min: 'numeric',
      temperature_c: 'numeric',
      gauge_pressure_kpa: 'numeric',
      loads: 'jsonb',
      used: 'jsonb',
    },
  },
  lot: {
    table: 'lot',
    key: 'id',
    columns: {
      id: 'uuid',
      code: 'text',
      origin: 'text',
      strain_id: 'uuid',
      generation: 'smallint',
      size_id: 'uuid',
      container: 'text',
      carrier: 'text',
      grain_batch_id: 'uuid',
      cycle_id: 'uuid',
      made_on: 'date',
      made_by: 'uuid',
      jars_made: 'int',
      supplier: 'text',
    },
  },
  jar: { table: 'jar', key: 'id', columns: JAR_COLUMNS },
  pool: { table: 'container_pool', key: 'size_id', columns: { size_id: 'uuid', clean_empty: 'int' } },
  harvest: {
    table: 'harvest',
    key: 'id',
    columns: { id: 'uuid', run_id: 'uuid', flush: 'smallint', mass_g: 'numeric', harvested_on: 'date' },
  },
};

/** Parents before children, as the foreign keys ask. */
const PARENTS_FIRST = ['grainBatch', 'cycle', 'lot', 'jar', 'pool', 'harvest'] as const satisfies readonly ThingKind[];

const ROW_OF: { readonly [K in ThingKind]: (state: BenchThings[K]) => Json } = {
  grainBatch: grainBatchRow,
  cycle: cycleRow,
  lot: lotRow,
  jar: jarRow,
  pool: poolRow,
  harvest: harvestRow,
};

/** A thing with its kind, as it is stored. */
export type StoredThing = {
  readonly [K in ThingKind]: { readonly kind: K; readonly state: BenchThings[K] };
}[ThingKind];

/** Reads the things that exist among the ids, of every kind that is asked for in one statement. */
export async function loadThingsOf(
  tx: GrowerTx,
  growerId: string,
  wanted: ReadonlyMap<ThingKind, readonly string[]>,
): Promise<StoredThing[]> {
  const asked = [...wanted].filter(([, ids]) => ids.length > 0);
  if (asked.length === 0) return [];
  const selects = asked.map(([kind], index) => {
    const { table, key } = TABLES[kind];
    return `SELECT '${kind}' AS kind, to_jsonb(t) AS row FROM ${table} t
      WHERE grower_id = $1::uuid AND ${key} = ANY($${index + 2}::uuid[])`;
  });
  const rows = await tx.$queryRawUnsafe<{ kind: ThingKind; row: Json }[]>(
    selects.join(' UNION ALL '),
    growerId,
    ...asked.map(([, ids]) => [...ids]),
  );
  return rows.map(({ kind, row }) => ({ kind, state: thingFromRow[kind](row) }) as StoredThing);
}

/** Reads the things of one kind that exist among the ids. */
export async function loadThings<K extends ThingKind>(
  tx: GrowerTx,
  growerId: string,
  kind: K,
  ids: readonly string[],
): Promise<BenchThings[K][]> {
  const things = await loadThingsOf(tx, growerId, new Map([[kind, ids]]));
  return things.map(({ state }) => state as BenchThings[K]);
}

/** Jars on hand that stand on one of the places. */
export async function jarsOnPlaces(tx: GrowerTx, growerId: string, places: readonly ShelfPlace[]): Promise<string[]> {
  const exact = places.filter(({ row, place }) => row !== undefined && place !== undefined);
  if (exact.length === 0) return [];
  const rows = await tx.$queryRaw<{ id: string }[]>`
    SELECT j.id FROM jsonb_to_recordset(${JSON.stringify(exact)}::jsonb) AS p ("shelfId" uuid, row int, place int)
    JOIN jar j ON j.grower_id = ${growerId}::uuid AND j.shelf_id = p."shelfId"
      AND j.shelf_row = p.row AND j.shelf_place = p.place
    WHERE j.state IN ('incubating', 'ripe', 'chilled', 'opened')`;
  return rows.map(({ id }) => id);
}

/**
 * Writes what a ledger changed: children go before parents, parents come before children. Draws reference log entries,
 * so the entries must be stored already.
 */
export async function saveChanges(tx: GrowerTx, growerId: string, changes: LedgerChanges): Promise<void> {
  const grouped = byKind(changes.things);
  await deleteDraws(tx, growerId, changes.forgetDrawsOf);
  for (const kind of PARENTS_FIRST.toReversed()) await deleteThings(tx, growerId, kind, grouped.get(kind) ?? []);
  for (const kind of PARENTS_FIRST) await upsertThings(tx, growerId, kind, grouped.get(kind) ?? []);
  await insertDraws(tx, growerId, changes);
}

/** Empties every table that is derived from the log. Steriliser traces hang on cycles and are not derived: kept. */
export async function forgetAllThings(tx: GrowerTx, growerId: string): Promise<void> {
  for (const table of ['bench_void', 'jar_draw', 'harvest', 'container_pool']) {
    await tx.$executeRawUnsafe(`DELETE FROM ${table} WHERE grower_id = $1::uuid`, growerId);
  }
}

/** Ids of all rows of a kind, to find those a rebuild no longer derives. */
export async function idsOfKind(tx: GrowerTx, growerId: string, kind: ThingKind): Promise<string[]> {
  const { table, key } = TABLES[kind];
  const rows = await tx.$queryRawUnsafe<{ id: string }[]>(
    `SELECT ${key} AS id FROM ${table} WHERE grower_id = $1::uuid`,
    growerId,
  );
  return rows.map(({ id }) => id);
}

async function deleteDraws(tx: GrowerTx, growerId: string, jarIds: readonly string[]): Promise<void> {
  if (jarIds.length === 0) return;
  await tx.$executeRaw`
    DELETE FROM jar_draw WHERE grower_id = ${growerId}::uuid AND jar_id = ANY(${[...jarIds]}::uuid[])`;
}

async function deleteThings(
  tx: GrowerTx,
  growerId: string,
  kind: ThingKind,
  things: readonly ThingAfter[],
): Promise<void> {
  const ids = things.filter(({ state }) => state === null).map(({ id }) => id);
  if (ids.length === 0) return;
  const { table, key } = TABLES[kind];
  await tx.$executeRawUnsafe(
    `DELETE FROM ${table} WHERE grower_id = $1::uuid AND ${key} = ANY($2::uuid[])`,
    growerId,
    ids,
  );
}

async function upsertThings(
  tx: GrowerTx,
  growerId: string,
  kind: ThingKind,
  things: readonly ThingAfter[],
): Promise<void> {
  const rowOf = ROW_OF[kind] as (state: BenchThings[ThingKind]) => Json;
  const rows = things.flatMap(({ state }) => (state === null ? [] : [rowOf(state)]));
  if (rows.length > 0) await tx.$executeRawUnsafe(UPSERT[kind], growerId, JSON.stringify(rows));
}

function upsertStatement({ table, key, columns }: ThingTable): string {
  const names = Object.keys(columns);
  const typed = Object.entries(columns).map(([name, type]) => `${name} ${type}`);
  const updates = names.filter((name) => name !== key).map((name) => `${name} = EXCLUDED.${name}`);
  return `INSERT INTO ${table} (grower_id, ${names.join(', ')})
    SELECT $1::uuid, r.* FROM jsonb_to_recordset($2::jsonb) AS r (${typed.join(', ')})
    ON CONFLICT (grower_id, ${key}) DO UPDATE SET ${updates.join(', ')}`;
}

const UPSERT = Object.fromEntries(
  Object.entries(TABLES).map(([kind, table]) => [kind, upsertStatement(table)]),
) as Readonly<Record<ThingKind, string>>;

async function insertDraws(tx: GrowerTx, growerId: string, { draws }: LedgerChanges): Promise<void> {
  if (draws.length === 0) return;
  await tx.$executeRaw`
    INSERT INTO jar_draw (grower_id, entry_id, jar_id, mass_g, estimated, lot_id, run_id, drawn_on)
    SELECT ${growerId}::uuid, r.* FROM jsonb_to_recordset(${JSON.stringify(draws.map(drawRow))}::jsonb) AS r (
      entry_id uuid, jar_id uuid, mass_g numeric, estimated boolean, lot_id uuid, run_id uuid, drawn_on date)`;
}
