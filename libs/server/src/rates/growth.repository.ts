import type { SeenRipening } from '@jarfold/domain';
import { type GrowerTx, Prisma } from '../platform/index.js';
import type { RateScope } from './contamination.repository.js';

/**
 * Between which days jars made on the farm ripened, by their looks, counted by strain, generation and room. A look that
 * does not say whether it was ripe but that all grain is grown through counts as ripe, as it does in the log.
 */
export async function listRipenings(
  tx: GrowerTx,
  growerId: string,
  { from, strainId }: RateScope,
): Promise<SeenRipening[]> {
  const ofStrain = strainId === null ? Prisma.empty : Prisma.sql`AND jar.strain_id = ${strainId}::uuid`;
  return tx.$queryRaw<SeenRipening[]>`
    WITH look AS MATERIALIZED (
      SELECT (seen->>'jarId')::uuid AS jar_id, entry.effective_day AS day,
             coalesce((seen->>'ripe')::boolean, (seen->>'colonisedShare')::numeric = 1) AS ripe
        FROM bench_entry entry CROSS JOIN LATERAL jsonb_array_elements(entry.payload->'jars') seen
       WHERE entry.grower_id = ${growerId}::uuid AND entry.kind = 'checked' AND entry.outcome = 'applied'
         AND entry.effective_day >= ${from}::date
         AND NOT EXISTS (SELECT FROM bench_void void WHERE void.grower_id = entry.grower_id AND void.entry_id = entry.id)),
    seen AS (
      SELECT jar_id, max(day) FILTER (WHERE NOT ripe) AS unripe, min(day) FILTER (WHERE ripe) AS ripe
        FROM look WHERE ripe IS NOT NULL GROUP BY jar_id)
    SELECT jar.strain_id AS "strainId", jar.generation,
           CASE WHEN room.kind = 'incubation' THEN room.id END AS "roomId",
           CASE WHEN room.kind = 'incubation' THEN room.temperature_c END::float8 AS "temperatureC",
           coalesce(seen.unripe - jar.made_on, 0) AS "afterDays", seen.ripe - jar.made_on AS "byDays",
           count(*)::int AS jars
      FROM seen
      JOIN jar ON jar.grower_id = ${growerId}::uuid AND jar.id = seen.jar_id
      JOIN lot ON lot.grower_id = jar.grower_id AND lot.id = jar.lot_id
      LEFT JOIN shelf ON shelf.grower_id = jar.grower_id AND shelf.id = jar.shelf_id
      LEFT JOIN room ON room.grower_id = shelf.grower_id AND room.id = shelf.room_id
     WHERE lot.origin = 'inoculated' AND lot.made_on >= ${from}::date AND jar.contaminated_on IS NULL
       AND jar.strain_id IS NOT NULL AND jar.generation IS NOT NULL ${ofStrain}
     GROUP BY 1, 2, 3, 4, 5, 6 ORDER BY 1, 2, 3, 5, 6`;
}
