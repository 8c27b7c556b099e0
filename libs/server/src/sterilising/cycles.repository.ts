import type { CalendarDay, SterilisingMethod } from '@jarfold/domain';
import { type GrowerTx, Prisma } from '../platform/index.js';

/** A cycle as the log left it, with the fate of the jars that came from it. */
export interface CycleRow {
  readonly id: string;
  readonly code: string;
  readonly method: SterilisingMethod;
  readonly steriliser: string | null;
  readonly stage: 'started' | 'held' | 'ended' | 'cooled';
  readonly startedOn: CalendarDay;
  readonly startedAt: Date;
  readonly endedAt: Date | null;
  readonly cooledAt: Date | null;
  readonly holdMin: number | null;
  readonly temperatureC: number | null;
  readonly gaugePressureKpa: number | null;
  /** Somebody logged that the boil or the pressure was lost during the hold. */
  readonly boilLost: boolean;
  /** Where the cycle was run, else where the farm lies. */
  readonly altitudeM: number | null;
  readonly lots: number;
  readonly jars: number;
  readonly contaminated: number;
  readonly blanks: number;
  readonly blanksContaminated: number;
}

/** Which cycles: the newest, those before one, or one by id or code. */
export type CyclesWanted =
  | { readonly beforeId: string | null; readonly limit: number }
  | { readonly id: string }
  | { readonly code: string };

/** Newest first. */
export async function listCycles(tx: GrowerTx, growerId: string, wanted: CyclesWanted): Promise<CycleRow[]> {
  return tx.$queryRaw<CycleRow[]>`
    WITH wanted AS MATERIALIZED (
      SELECT cycle.* FROM steriliser_cycle cycle
       WHERE cycle.grower_id = ${growerId}::uuid ${whichOf(growerId, wanted)}
       ORDER BY cycle.started_at DESC, cycle.id DESC LIMIT ${'limit' in wanted ? wanted.limit : 1}),
    made AS (
      SELECT lot.cycle_id, count(DISTINCT lot.id) FILTER (WHERE lot.origin <> 'blank') AS lots,
             count(*) FILTER (WHERE NOT jar.blank) AS jars,
             count(*) FILTER (WHERE NOT jar.blank AND jar.contaminated_on IS NOT NULL) AS contaminated,
             count(*) FILTER (WHERE jar.blank) AS blanks,
             count(*) FILTER (WHERE jar.blank AND jar.contaminated_on IS NOT NULL) AS blanks_contaminated
        FROM wanted JOIN lot ON lot.grower_id = wanted.grower_id AND lot.cycle_id = wanted.id
        JOIN jar ON jar.grower_id = lot.grower_id AND jar.lot_id = lot.id
       GROUP BY lot.cycle_id)
    SELECT wanted.id, wanted.code, wanted.method, wanted.steriliser, wanted.stage,
           wanted.started_on::text AS "startedOn", wanted.started_at AS "startedAt", wanted.ended_at AS "endedAt",
           wanted.cooled_at AS "cooledAt", wanted.hold_min::float8 AS "holdMin",
           wanted.temperature_c::float8 AS "temperatureC", wanted.gauge_pressure_kpa::float8 AS "gaugePressureKpa",
           coalesce(wanted.altitude_m, settings.altitude_m)::float8 AS "altitudeM",
           ${boilLostIn('wanted')} AS "boilLost",
           coalesce(made.lots, 0)::int AS lots, coalesce(made.jars, 0)::int AS jars,
           coalesce(made.contaminated, 0)::int AS contaminated, coalesce(made.blanks, 0)::int AS blanks,
           coalesce(made.blanks_contaminated, 0)::int AS "blanksContaminated"
      FROM wanted
      LEFT JOIN made ON made.cycle_id = wanted.id
      LEFT JOIN farm_settings settings ON settings.grower_id = wanted.grower_id
     ORDER BY wanted.started_at DESC, wanted.id DESC`;
}

function whichOf(growerId: string, wanted: CyclesWanted): Prisma.Sql {
  if ('id' in wanted) return Prisma.sql`AND cycle.id = ${wanted.id}::uuid`;
  if ('code' in wanted) return Prisma.sql`AND upper(cycle.code) = upper(${wanted.code})`;
  if (wanted.beforeId === null) return Prisma.empty;
  return Prisma.sql`AND (cycle.started_at, cycle.id) < (
    SELECT started_at, id FROM steriliser_cycle WHERE grower_id = ${growerId}::uuid AND id = ${wanted.beforeId}::uuid)`;
}

export interface CycleLotRow {
  readonly lotId: string;
  readonly code: string;
  readonly blank: boolean;
  readonly strainCode: string | null;
  readonly madeOn: CalendarDay;
  readonly jars: number;
  readonly contaminated: number;
}

/** Lots whose grain went through a cycle, blanks last. */
export async function lotsOfCycle(tx: GrowerTx, growerId: string, cycleId: string): Promise<CycleLotRow[]> {
  return tx.$queryRaw<CycleLotRow[]>`
    SELECT lot.id AS "lotId", lot.code, lot.origin = 'blank' AS blank, strain.short_code AS "strainCode",
           lot.made_on::text AS "madeOn", count(*)::int AS jars,
           count(*) FILTER (WHERE jar.contaminated_on IS NOT NULL)::int AS contaminated
      FROM lot JOIN jar ON jar.grower_id = lot.grower_id AND jar.lot_id = lot.id
      LEFT JOIN strain ON strain.grower_id = lot.grower_id AND strain.id = lot.strain_id
     WHERE lot.grower_id = ${growerId}::uuid AND lot.cycle_id = ${cycleId}::uuid
     GROUP BY lot.id, lot.code, lot.origin, strain.short_code, lot.made_on ORDER BY 3, lot.made_on, lot.code`;
}

export interface CycleLoadRow {
  readonly sizeName: string;
  readonly volumeMl: number;
  readonly count: number;
  readonly grainBatchCode: string | null;
}

/** What went into the vessel, by size and grain batch. */
export async function loadsOfCycle(tx: GrowerTx, growerId: string, cycleId: string): Promise<CycleLoadRow[]> {
  return tx.$queryRaw<CycleLoadRow[]>`
    SELECT size.name AS "sizeName", size.volume_ml::float8 AS "volumeMl", (load->>'count')::int AS count,
           batch.code AS "grainBatchCode"
      FROM steriliser_cycle cycle CROSS JOIN LATERAL jsonb_array_elements(cycle.loads) WITH ORDINALITY AS each(load, at)
      JOIN container_size size ON size.grower_id = cycle.grower_id AND size.id = (load->>'sizeId')::uuid
      LEFT JOIN grain_batch batch ON batch.grower_id = cycle.grower_id AND batch.id = (load->>'grainBatchId')::uuid
     WHERE cycle.grower_id = ${growerId}::uuid AND cycle.id = ${cycleId}::uuid ORDER BY each.at`;
}

export interface CycleReadingRow {
  readonly entryId: string;
  readonly at: string;
  readonly temperatureC: number | null;
  readonly gaugePressureKpa: number | null;
  readonly boilLost: boolean;
}

/**
 * Whether somebody logged that the boil or the pressure was lost during a cycle's hold, as a column.
 * @param cycle what the query calls its table of cycles
 */
export function boilLostIn(cycle: 'cycle' | 'wanted'): Prisma.Sql {
  const its = Prisma.raw(cycle);
  return Prisma.sql`EXISTS (
    SELECT FROM bench_entry_thing touch
    JOIN bench_entry entry ON entry.grower_id = touch.grower_id AND entry.position = touch.position
     WHERE touch.grower_id = ${its}.grower_id AND touch.thing_id = ${its}.id AND entry.outcome = 'applied'
       AND entry.kind IN ('cycle_held', 'cycle_ended') AND entry.payload->>'boilLost' = 'true'
       AND NOT EXISTS (SELECT FROM bench_void void
                        WHERE void.grower_id = entry.grower_id AND void.entry_id = entry.id))`;
}

/** Readings as the bench logged them, those taken back left out, in the order of the clock. */
export async function readingsOfCycle(tx: GrowerTx, growerId: string, cycleId: string): Promise<CycleReadingRow[]> {
  return tx.$queryRaw<CycleReadingRow[]>`
    SELECT entry.id::text AS "entryId",
           to_char(entry.effective_at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') AS at,
           (entry.payload->>'temperatureC')::float8 AS "temperatureC",
           (entry.payload->>'gaugePressureKpa')::float8 AS "gaugePressureKpa",
           coalesce(entry.payload->>'boilLost' = 'true', false) AS "boilLost"
      FROM bench_entry_thing touch
      JOIN bench_entry entry ON entry.grower_id = touch.grower_id AND entry.position = touch.position
     WHERE touch.grower_id = ${growerId}::uuid AND touch.thing_id = ${cycleId}::uuid AND entry.outcome = 'applied'
       AND entry.kind IN ('cycle_held', 'cycle_ended')
       AND (entry.payload ? 'temperatureC' OR entry.payload ? 'gaugePressureKpa' OR entry.payload ? 'boilLost')
       AND NOT EXISTS (SELECT FROM bench_void void
                        WHERE void.grower_id = entry.grower_id AND void.entry_id = entry.id)
     ORDER BY entry.effective_at, entry.position`;
}
