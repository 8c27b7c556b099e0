import type { GrowerTx } from '../platform/index.js';

/** What the ids in a plan's sentences are called on the farm: strains by code, the rest by name. */
export async function readNames(tx: GrowerTx, growerId: string): Promise<Map<string, string>> {
  const rows = await tx.$queryRaw<{ id: string; name: string }[]>`
    SELECT id::text, short_code AS name FROM strain WHERE grower_id = ${growerId}::uuid
    UNION ALL SELECT id::text, name FROM room WHERE grower_id = ${growerId}::uuid
    UNION ALL SELECT id::text, name FROM container_size WHERE grower_id = ${growerId}::uuid
    UNION ALL SELECT id::text, name FROM bulk_run WHERE grower_id = ${growerId}::uuid`;
  return new Map(rows.map(({ id, name }) => [id, name]));
}
