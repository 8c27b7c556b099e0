import type { BorneRun, CalendarDay } from '@jarfold/domain';
import {
  dayFromColumn,
  dayToColumn,
  type GrowerTx,
  numberFromColumn,
  numberFromColumnOrNull,
} from '../platform/index.js';

export interface NamedBorneRun extends BorneRun {
  readonly name: string;
}

/**
 * Runs that were spawned since a day, with every weighing. A run is of the strain most of its spawn was of, else of the
 * first it may use; it was spawned when its first spawn was drawn, else when it was said to be done.
 */
export async function listBorneRuns(
  tx: GrowerTx,
  growerId: string,
  { from, strainId }: { readonly from: CalendarDay; readonly strainId: string | null },
): Promise<NamedBorneRun[]> {
  const rows = await tx.bulkRun.findMany({
    where: {
      ...{ growerId, kind: 'bulk', state: { not: 'cancelled' }, day: { gte: dayToColumn(from) } },
      OR: [{ state: 'done' }, { harvests: { some: {} } }],
    },
    include: { strains: { orderBy: { rank: 'asc' }, take: 1 }, harvests: { orderBy: { harvestedOn: 'asc' } } },
    orderBy: [{ day: 'asc' }, { id: 'asc' }],
  });
  const spawned = await spawnOfRuns(tx, growerId);
  return rows.flatMap((row) => {
    const spawn = spawned.get(row.id);
    const strain = spawn?.strainId ?? row.strains[0]?.strainId;
    if (strain === undefined || (strainId !== null && strain !== strainId)) return [];
    return [
      {
        runId: row.id,
        name: row.name,
        strainId: strain,
        spawnedOn: spawn?.spawnedOn ?? dayFromColumn(row.doneOn ?? row.day),
        substrateWetG: numberFromColumn(row.substrateWetG!),
        substrateMoisture: numberFromColumnOrNull(row.substrateMoisture),
        spawnG: spawn?.spawnG ?? 0,
        pickings: row.harvests.map(({ harvestedOn, flush, massG }) => ({
          ...{ day: dayFromColumn(harvestedOn), flush, massG: numberFromColumn(massG) },
        })),
      },
    ];
  });
}

interface Spawn {
  readonly runId: string;
  readonly strainId: string;
  readonly spawnedOn: CalendarDay;
  readonly spawnG: number;
}

async function spawnOfRuns(tx: GrowerTx, growerId: string): Promise<Map<string, Spawn>> {
  const rows = await tx.$queryRaw<Spawn[]>`
    SELECT run_id AS "runId", (array_agg(strain_id ORDER BY grams DESC, strain_id))[1] AS "strainId",
           min(first_on)::text AS "spawnedOn", sum(grams)::float8 AS "spawnG"
      FROM (SELECT draw.run_id, jar.strain_id, sum(draw.mass_g) AS grams, min(draw.drawn_on) AS first_on
              FROM jar_draw draw JOIN jar ON jar.grower_id = draw.grower_id AND jar.id = draw.jar_id
             WHERE draw.grower_id = ${growerId}::uuid AND draw.run_id IS NOT NULL AND jar.strain_id IS NOT NULL
             GROUP BY 1, 2) by_strain
     GROUP BY 1`;
  return new Map(rows.map((row) => [row.runId, row]));
}
