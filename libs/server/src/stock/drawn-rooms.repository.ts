import type { ContainerDays } from '@jarfold/domain';
import type { GrowerTx } from '../platform/index.js';

/** Jars that look alike apart from how far each has grown: their life is worked out once for all of them. */
export interface AlikeJars extends ContainerDays {
  readonly strainId: string;
  readonly jars: readonly StandingJar[];
}

/** What tells one jar of such a group from another, as a list: ten thousand names of fields take longer than the values. */
export type StandingJar = readonly [
  id: string,
  code: string,
  keptAsMother: boolean,
  shareColonised: number | null,
  shelfId: string | null,
  row: number | null,
  place: number | null,
];

/** Every jar that stands somewhere, in groups of a like; as one text, which is much quicker to hand over than rows. */
export async function listForDrawing(tx: GrowerTx, growerId: string): Promise<AlikeJars[]> {
  const [row] = await tx.$queryRaw<{ groups: string }[]>`
    SELECT coalesce(json_agg(alike), '[]')::text AS groups
      FROM (SELECT strain_id AS "strainId", generation,
                   CASE WHEN contaminated_on IS NULL THEN state ELSE 'contaminated' END AS state,
                   made_on AS "madeOn", ripe_on AS "ripeOn", chilled_on AS "chilledOn", warmed_on AS "warmedOn",
                   opened_on AS "openedOn",
                   json_agg(json_build_array(id, code, kept_as_mother, colonised_share, shelf_id, shelf_row, shelf_place)) AS jars
              FROM jar
             WHERE grower_id = ${growerId}::uuid AND state IN ('incubating', 'ripe', 'chilled', 'opened')
               AND NOT blank AND strain_id IS NOT NULL AND generation IS NOT NULL
             GROUP BY 1, 2, 3, 4, 5, 6, 7, 8) AS alike`;
  return JSON.parse(row!.groups);
}
