import {
  type CalendarDay,
  type ContaminationHazard,
  contaminationHazard,
  type LotCell,
  type NotEnoughData,
} from '@jarfold/domain';
import { listRooms, type StrainRow } from '../farm/index.js';
import { type GrowerTx, Prisma } from '../platform/index.js';

/** Which part of the log a rate is asked of. */
export interface RateScope {
  readonly from: CalendarDay;
  readonly strainId: string | null;
}

/**
 * The lots made on the farm since a day, counted by mother and room: one pass over lots and jars. The room is the one a
 * lot was first put into, as its making says; otherwise the incubation room its jars stand in. In one order, so that the
 * same log gives the same sums to the last digit, and a plan made from them holds still.
 */
export async function listLotCells(tx: GrowerTx, growerId: string, { from, strainId }: RateScope): Promise<LotCell[]> {
  const ofStrain = strainId === null ? Prisma.empty : Prisma.sql`AND lot.strain_id = ${strainId}::uuid`;
  return tx.$queryRaw<LotCell[]>`
    WITH first_place AS MATERIALIZED (
      SELECT (entry.payload->>'lotId')::uuid AS lot_id, min(shelf.room_id::text)::uuid AS room_id
        FROM bench_entry entry
        JOIN shelf ON shelf.grower_id = entry.grower_id
         AND shelf.id::text = jsonb_path_query_first(entry.payload, '$.jars[*].place.shelfId') #>> '{}'
       WHERE entry.grower_id = ${growerId}::uuid AND entry.kind = 'inoculated' AND entry.outcome = 'applied'
         AND entry.effective_day >= ${from}::date
         AND NOT EXISTS (SELECT FROM bench_void void WHERE void.grower_id = entry.grower_id AND void.entry_id = entry.id)
       GROUP BY 1)
    SELECT lot.id AS "lotId", lot.made_on::text AS "madeOn", lot.origin = 'blank' AS blank, lot.strain_id AS "strainId",
           lot.grain_batch_id AS "grainBatchId", lot.cycle_id AS "cycleId", cycle.method, lot.made_by AS "operatorId",
           jar.mother_jar_id AS "motherId",
           coalesce(first_place.room_id, CASE WHEN room.kind = 'incubation' THEN room.id END) AS "roomId",
           count(*)::int AS jars,
           count(*) FILTER (WHERE jar.contaminated_on IS NOT NULL)::int AS contaminated,
           count(*) FILTER (WHERE (jar.ripe_on IS NULL AND jar.gone_reason IN ('discarded', 'broken'))
             OR (jar.contaminated_on IS NOT NULL AND coalesce(jar.contaminated_on <= jar.ripe_on, true)))::int AS lost,
           count(*) FILTER (WHERE jar.contaminated_on IS NOT NULL OR jar.ripe_on IS NOT NULL
             OR jar.gone_on IS NOT NULL)::int AS settled
      FROM lot
      JOIN jar ON jar.grower_id = lot.grower_id AND jar.lot_id = lot.id
      LEFT JOIN steriliser_cycle cycle ON cycle.grower_id = lot.grower_id AND cycle.id = lot.cycle_id
      LEFT JOIN shelf ON shelf.grower_id = jar.grower_id AND shelf.id = jar.shelf_id
      LEFT JOIN room ON room.grower_id = shelf.grower_id AND room.id = shelf.room_id
      LEFT JOIN first_place ON first_place.lot_id = lot.id
     WHERE lot.grower_id = ${growerId}::uuid AND lot.origin IN ('inoculated', 'blank')
       AND lot.made_on >= ${from}::date ${ofStrain}
     GROUP BY 1, 2, 3, 4, 5, 6, 7, 8, 9, 10 ORDER BY 1, 9, 10`;
}

/** Jars that were watched for so many days, and whether they were found contaminated then. */
interface WatchedJars {
  readonly days: number;
  readonly contaminated: boolean;
  readonly jars: number;
}

/** When jars of this part of the log spoil. */
export async function readHazard(
  tx: GrowerTx,
  growerId: string,
  scope: RateScope,
  asOf: CalendarDay,
): Promise<ContaminationHazard | NotEnoughData> {
  const watched = await listWatchedJars(tx, growerId, scope, asOf);
  return contaminationHazard(watched.flatMap(({ jars, ...jar }) => Array.from({ length: jars }, () => jar)));
}

/**
 * How long jars were watched: until they were found contaminated, were gone, or today. Beyond four weeks all days count
 * alike. A finding before the inoculation says only that a clock was wrong, and is left out.
 */
async function listWatchedJars(
  tx: GrowerTx,
  growerId: string,
  { from, strainId }: RateScope,
  asOf: CalendarDay,
): Promise<WatchedJars[]> {
  const ofStrain = strainId === null ? Prisma.empty : Prisma.sql`AND jar.strain_id = ${strainId}::uuid`;
  return tx.$queryRaw<WatchedJars[]>`
    SELECT least(28, coalesce(jar.contaminated_on, jar.gone_on, ${asOf}::date) - jar.made_on)::int AS days,
           coalesce(jar.contaminated_on - jar.made_on < 28, false) AS contaminated, count(*)::int AS jars
      FROM jar JOIN lot ON lot.grower_id = jar.grower_id AND lot.id = jar.lot_id
     WHERE jar.grower_id = ${growerId}::uuid AND lot.origin = 'inoculated' AND lot.made_on >= ${from}::date
       AND coalesce(jar.contaminated_on, jar.gone_on, ${asOf}::date) >= jar.made_on ${ofStrain}
     GROUP BY 1, 2`;
}

/** What the levels of the factors are called: strains, batches, cycles and jars by code, people and rooms by name. */
export async function readLevelNames(
  tx: GrowerTx,
  growerId: string,
  ids: {
    readonly grainBatch: readonly string[];
    readonly cycle: readonly string[];
    readonly mother: readonly string[];
  },
  strains: readonly StrainRow[],
): Promise<Map<string, string>> {
  const where = (wanted: readonly string[]) => ({ where: { growerId, id: { in: [...wanted] } }, select: CODE });
  const batches = await tx.grainBatch.findMany(where(ids.grainBatch));
  const cycles = await tx.steriliserCycle.findMany(where(ids.cycle));
  const mothers = await tx.jar.findMany(where(ids.mother));
  const people = await tx.staffName.findMany({ where: { growerId }, select: { staffId: true, name: true } });
  const rooms = await listRooms(tx, growerId);
  return new Map([
    ...[...batches, ...cycles, ...mothers].map(({ id, code }) => [id, code] as const),
    ...people.map(({ staffId, name }) => [staffId, name] as const),
    ...strains.map(({ id, code }) => [id, code] as const),
    ...rooms.map(({ id, name }) => [id, name] as const),
  ]);
}

const CODE = { id: true, code: true } as const;
