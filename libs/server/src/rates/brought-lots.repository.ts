import type { LotCell } from '@jarfold/domain';
import { type GrowerTx, Prisma } from '../platform/index.js';
import type { RateScope } from './contamination.repository.js';

/**
 * The farm's own lots out of its old spreadsheets, as far as a file tells both of jars that spoiled and of jars that were
 * used up: a list of the jars on hand leaves out those that spoiled, and a list of losses those that did well. Bought
 * spawn tells of another farm. Nobody knows who made them, in which room and from what; they tell a share lost and no
 * more, so that a week, a person or a cycle of the log is never judged by them.
 */
export async function listBroughtCells(
  tx: GrowerTx,
  growerId: string,
  { from, strainId }: RateScope,
): Promise<LotCell[]> {
  const ofStrain = strainId === null ? Prisma.empty : Prisma.sql`AND lot.strain_id = ${strainId}::uuid`;
  return tx.$queryRaw<LotCell[]>`
    WITH file AS (
      SELECT DISTINCT (content->'brought'->>'deviceId')::uuid AS device_id FROM file_import
       WHERE grower_id = ${growerId}::uuid AND state = 'applied' AND content->'brought'->>'deviceId' IS NOT NULL),
    brought AS (
      SELECT entry.device_id, lot.id
        FROM file
        JOIN bench_entry entry ON entry.grower_id = ${growerId}::uuid AND entry.device_id = file.device_id
         AND entry.kind = 'received' AND entry.outcome = 'applied'
        JOIN lot ON lot.grower_id = entry.grower_id AND lot.id = (entry.payload->>'lotId')::uuid
       WHERE lot.supplier IS NULL AND lot.generation >= 1
         AND NOT EXISTS (SELECT FROM bench_void void WHERE void.grower_id = entry.grower_id AND void.entry_id = entry.id)),
    honest AS (
      SELECT brought.device_id
        FROM brought JOIN jar ON jar.grower_id = ${growerId}::uuid AND jar.lot_id = brought.id
       GROUP BY 1
      HAVING bool_or(jar.contaminated_on IS NOT NULL) AND bool_or(jar.gone_reason = 'emptied'))
    SELECT lot.id AS "lotId", lot.made_on::text AS "madeOn", false AS blank, lot.strain_id AS "strainId",
           NULL AS "grainBatchId", NULL AS "cycleId", NULL AS method, NULL AS "operatorId", NULL AS "motherId",
           NULL AS "roomId", count(*)::int AS jars,
           count(*) FILTER (WHERE jar.contaminated_on IS NOT NULL)::int AS contaminated,
           count(*) FILTER (WHERE (jar.ripe_on IS NULL AND jar.gone_reason IN ('discarded', 'broken'))
             OR (jar.contaminated_on IS NOT NULL AND coalesce(jar.contaminated_on <= jar.ripe_on, true)))::int AS lost,
           count(*) FILTER (WHERE jar.contaminated_on IS NOT NULL OR jar.ripe_on IS NOT NULL
             OR jar.gone_on IS NOT NULL)::int AS settled
      FROM honest
      JOIN brought ON brought.device_id = honest.device_id
      JOIN lot ON lot.grower_id = ${growerId}::uuid AND lot.id = brought.id
      JOIN jar ON jar.grower_id = lot.grower_id AND jar.lot_id = lot.id
     WHERE lot.made_on >= ${from}::date ${ofStrain}
     GROUP BY lot.id, lot.made_on, lot.strain_id ORDER BY 1`;
}
