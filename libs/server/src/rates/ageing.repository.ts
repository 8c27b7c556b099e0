import type { CalendarDay, Restart } from '@jarfold/domain';
import { type GrowerTx, Prisma } from '../platform/index.js';

export interface StrainRestart extends Restart {
  readonly strainId: string;
}

/**
 * Every test of regrowth of a jar that had been chilled: the days it stood in the cold before it, from when it was
 * chilled until it was warmed or tested. Chilled, warmed and chilled again, the last cold spell counts.
 */
export async function listRestarts(
  tx: GrowerTx,
  growerId: string,
  { from, strainId }: { readonly from: CalendarDay; readonly strainId: string | null },
): Promise<StrainRestart[]> {
  const ofStrain = strainId === null ? Prisma.empty : Prisma.sql`AND jar.strain_id = ${strainId}::uuid`;
  return tx.$queryRaw<StrainRestart[]>`
    WITH standing AS MATERIALIZED (
      SELECT entry.kind, entry.effective_at AS at, entry.effective_day AS day, entry.payload
        FROM bench_entry entry
       WHERE entry.grower_id = ${growerId}::uuid AND entry.outcome = 'applied'
         AND entry.kind IN ('chilled', 'warmed', 'regrowth_tested', 'received')
         AND NOT EXISTS (SELECT FROM bench_void void WHERE void.grower_id = entry.grower_id AND void.entry_id = entry.id)),
    cold AS (
      SELECT standing.kind, standing.at, standing.day, jar_id::uuid AS jar_id
        FROM standing CROSS JOIN LATERAL jsonb_array_elements_text(standing.payload->'jarIds') jar_id
       WHERE standing.kind IN ('chilled', 'warmed')
      UNION ALL
      SELECT 'chilled', standing.at, (jar->>'chilledOn')::date, (jar->>'id')::uuid
        FROM standing CROSS JOIN LATERAL jsonb_array_elements(standing.payload->'jars') jar
       WHERE standing.kind = 'received' AND jar->>'chilledOn' IS NOT NULL),
    test AS (
      SELECT (payload->>'jarId')::uuid AS jar_id, at, day, (payload->>'regrew')::boolean AS regrew
        FROM standing WHERE kind = 'regrowth_tested' AND day >= ${from}::date)
    SELECT jar.strain_id AS "strainId", test.regrew,
           (coalesce((SELECT min(warm.day) FROM cold warm WHERE warm.jar_id = test.jar_id AND warm.kind = 'warmed'
                       AND warm.at >= chill.at AND warm.at <= test.at), test.day) - chill.day)::int AS "daysChilled"
      FROM test
      JOIN jar ON jar.grower_id = ${growerId}::uuid AND jar.id = test.jar_id
      JOIN LATERAL (SELECT cold.at, cold.day FROM cold WHERE cold.jar_id = test.jar_id AND cold.kind = 'chilled'
                      AND cold.at <= test.at AND cold.day <= test.day ORDER BY cold.at DESC LIMIT 1) chill ON true
     WHERE jar.strain_id IS NOT NULL ${ofStrain}
     ORDER BY 1, 3, 2`;
}
