import type { CalendarDay, KinJar, UnripeLot } from '@jarfold/domain';
import { type GrowerTx } from '../platform/index.js';
import { boilLostIn } from '../sterilising/index.js';

/** The jars made since a day and their mothers, as a line sees them. A jar ripe and clean, or used, counts as good. */
export async function listLine(tx: GrowerTx, growerId: string, from: CalendarDay): Promise<KinJar[]> {
  return tx.$queryRaw<KinJar[]>`
    WITH young AS (SELECT id, mother_jar_id FROM jar
                    WHERE grower_id = ${growerId}::uuid AND made_on >= ${from}::date AND NOT blank),
    kin AS (SELECT id FROM young UNION SELECT mother_jar_id FROM young WHERE mother_jar_id IS NOT NULL)
    SELECT jar.code, CASE WHEN mother.code IS NULL THEN '{}'::text[] ELSE ARRAY[mother.code] END AS mothers,
           CASE WHEN jar.contaminated_on IS NOT NULL THEN 'bad' WHEN jar.ripe_on IS NOT NULL THEN 'good' END AS seen,
           jar.gone_on IS NULL AS "onHand", jar.made_on::text AS "madeOn", jar.contaminated_on::text AS "badOn",
           coalesce(lot.cycle_id, lot.grain_batch_id)::text AS load
      FROM kin JOIN jar ON jar.grower_id = ${growerId}::uuid AND jar.id = kin.id
      JOIN lot ON lot.grower_id = jar.grower_id AND lot.id = jar.lot_id
      LEFT JOIN jar mother ON mother.grower_id = jar.grower_id AND mother.id = jar.mother_jar_id`;
}

/** Lots with growing jars that a look found unripe: when the last such look was, what it found, and how many are ripe. */
export async function listUnripeLots(tx: GrowerTx, growerId: string, from: CalendarDay): Promise<UnripeLot[]> {
  return tx.$queryRaw<UnripeLot[]>`
    WITH looked AS MATERIALIZED (
      SELECT jar.lot_id, jar.id, max(entry.effective_day) AS last
        FROM jar
        JOIN lot ON lot.grower_id = jar.grower_id AND lot.id = jar.lot_id
        JOIN bench_entry_thing thing ON thing.grower_id = jar.grower_id AND thing.thing_id = jar.id
        JOIN bench_entry entry ON entry.grower_id = thing.grower_id AND entry.position = thing.position
         AND entry.kind = 'checked' AND entry.outcome = 'applied'
        LEFT JOIN bench_void void ON void.grower_id = entry.grower_id AND void.entry_id = entry.id
       WHERE jar.grower_id = ${growerId}::uuid AND lot.origin = 'inoculated' AND lot.made_on >= ${from}::date
         AND jar.state = 'incubating' AND jar.contaminated_on IS NULL AND void.entry_id IS NULL
         AND entry.effective_day >= lot.made_on
       GROUP BY jar.lot_id, jar.id),
    newest AS (SELECT lot_id, max(last) AS last FROM looked GROUP BY lot_id)
    SELECT lot.code, lot.strain_id AS "strainId", lot.made_on::text AS "madeOn",
           (newest.last - lot.made_on)::int AS "unripeAtDays",
           (SELECT count(*)::int FROM looked
             WHERE looked.lot_id = newest.lot_id AND looked.last = newest.last) AS unripe,
           (SELECT count(*)::int FROM jar
             WHERE jar.grower_id = ${growerId}::uuid AND jar.lot_id = lot.id AND jar.ripe_on IS NOT NULL) AS ripe
      FROM newest JOIN lot ON lot.grower_id = ${growerId}::uuid AND lot.id = newest.lot_id
     ORDER BY lot.code`;
}

export interface EndedCycleRow {
  readonly id: string;
  readonly code: string;
  readonly method: string;
  readonly endedOn: CalendarDay;
  readonly holdMin: number | null;
  readonly gaugePressureKpa: number | null;
  readonly boilLost: boolean;
  readonly altitudeM: number | null;
}

export async function listEndedCycles(tx: GrowerTx, growerId: string, from: CalendarDay): Promise<EndedCycleRow[]> {
  return tx.$queryRaw<EndedCycleRow[]>`
    SELECT cycle.id, cycle.code, cycle.method, cycle.started_on::text AS "endedOn", cycle.hold_min::float8 AS "holdMin",
           cycle.gauge_pressure_kpa::float8 AS "gaugePressureKpa",
           ${boilLostIn('cycle')} AS "boilLost",
           coalesce(cycle.altitude_m, settings.altitude_m)::float8 AS "altitudeM"
      FROM steriliser_cycle cycle LEFT JOIN farm_settings settings ON settings.grower_id = cycle.grower_id
     WHERE cycle.grower_id = ${growerId}::uuid AND cycle.ended_at IS NOT NULL AND cycle.started_on >= ${from}::date
     ORDER BY cycle.started_at`;
}

export interface UnusedJarRow {
  readonly code: string;
  readonly lotCode: string;
  readonly strainId: string;
  readonly cold: boolean;
  readonly grams: number;
}

export async function describeUnused(
  tx: GrowerTx,
  growerId: string,
  codes: readonly string[],
): Promise<UnusedJarRow[]> {
  return tx.$queryRaw<UnusedJarRow[]>`
    SELECT jar.code, lot.code AS "lotCode", jar.strain_id AS "strainId", jar.state = 'chilled' AS cold,
           jar.left_g::float8 AS grams
      FROM jar JOIN lot ON lot.grower_id = jar.grower_id AND lot.id = jar.lot_id
     WHERE jar.grower_id = ${growerId}::uuid AND jar.code = ANY (${[...codes]}::text[])
       AND jar.gone_on IS NULL AND jar.strain_id IS NOT NULL`;
}

/** Ripe jars by strain and generation, cold ones included: what mothers may be taken from. */
export async function countRipe(
  tx: GrowerTx,
  growerId: string,
): Promise<{ readonly strainId: string; readonly generation: number; readonly jars: number }[]> {
  return tx.$queryRaw`
    SELECT strain_id AS "strainId", generation, count(*)::int AS jars FROM jar
     WHERE grower_id = ${growerId}::uuid AND state IN ('ripe', 'chilled') AND contaminated_on IS NULL
       AND strain_id IS NOT NULL AND generation >= 1 GROUP BY 1, 2`;
}
