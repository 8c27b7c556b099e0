import type { Jar } from '@jarfold/domain';
import type { GrowerTx } from '../platform/index.js';

/** Refused entries that nobody has settled, the oldest first. */
export async function unsettledIds(tx: GrowerTx, growerId: string, limit: number): Promise<string[]> {
  const rows = await tx.$queryRaw<{ id: string }[]>`
    SELECT e.id::text FROM bench_entry e
    WHERE e.grower_id = ${growerId}::uuid AND e.outcome = 'refused' AND e.kind NOT IN ('settled', 'corrected')
      AND NOT EXISTS (
        SELECT FROM bench_entry_thing t JOIN bench_entry s ON s.grower_id = t.grower_id AND s.position = t.position
        WHERE t.grower_id = e.grower_id AND t.thing_id = e.id AND s.kind = 'settled'
          AND NOT EXISTS (SELECT FROM bench_void v WHERE v.grower_id = s.grower_id AND v.entry_id = s.id))
    ORDER BY e.position LIMIT ${limit}`;
  return rows.map(({ id }) => id);
}

/** Jars that can give the grams in another's place: same strain, on hand, clean, holding enough; the oldest first. */
export async function jarsInstead(
  tx: GrowerTx,
  growerId: string,
  wanted: Pick<Jar, 'strainId'> & { readonly leastG: number; readonly not: readonly string[] },
  limit: number,
): Promise<{ jarId: string; code: string; leftG: number }[]> {
  if (wanted.strainId === null) return [];
  return tx.$queryRaw<{ jarId: string; code: string; leftG: number }[]>`
    SELECT id::text AS "jarId", code, left_g::float8 AS "leftG" FROM jar
    WHERE grower_id = ${growerId}::uuid AND strain_id = ${wanted.strainId}::uuid
      AND state IN ('opened', 'ripe', 'chilled') AND contaminated_on IS NULL
      AND left_g > 0 AND left_g >= ${wanted.leastG} AND id <> ALL(${[...wanted.not]}::uuid[])
    ORDER BY (opened_on IS NULL), coalesce(opened_on, ripe_on, made_on), code LIMIT ${limit}`;
}
