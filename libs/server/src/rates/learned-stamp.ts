import type { CalendarDay } from '@jarfold/domain';
import type { StrainRow } from '../farm/index.js';
import type { GrowerTx } from '../platform/index.js';

/**
 * Names all that the values learned from a farm's log depend on. Lots, jars and cycles come of the log and of nothing
 * else, and the head of its chain stands for every entry of it, so the head stands for them too. Beside the log they
 * depend on where its shelves stand and how warm that is, on which files of old records were brought in, on what the
 * farm says of its strains, and on the day.
 */
export async function readLearnedStamp(
  tx: GrowerTx,
  growerId: string,
  asOf: CalendarDay,
  strains: readonly StrainRow[],
): Promise<string> {
  const [row] = await tx.$queryRaw<{ log: string | null; places: string | null; brought: string | null }[]>`
    SELECT (SELECT head_hash FROM bench_counter WHERE grower_id = ${growerId}::uuid) AS log,
           (SELECT string_agg(concat_ws(' ', shelf.id, room.id, room.kind, room.temperature_c), ',' ORDER BY shelf.id)
              FROM shelf JOIN room ON room.grower_id = shelf.grower_id AND room.id = shelf.room_id
             WHERE shelf.grower_id = ${growerId}::uuid) AS places,
           (SELECT string_agg(content->'brought'->>'deviceId', ',' ORDER BY id)
              FROM file_import WHERE grower_id = ${growerId}::uuid AND state = 'applied') AS brought`;
  return JSON.stringify([asOf, row, strains]);
}
