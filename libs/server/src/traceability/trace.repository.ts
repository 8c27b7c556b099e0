import { type CalendarDay, findSpecies, type TraceHarvest, type TraceLot } from '@jarfold/domain';
import {
  dayFromColumn,
  dayFromColumnOrNull,
  dayToColumn,
  type GrowerTx,
  numberFromColumn,
  numberFromColumnOrNull,
} from '../platform/index.js';

/** Which lots are told of: one, or those made in a range of days. */
export type TraceScope =
  | { readonly lotId: string }
  | { readonly code: string }
  | { readonly from: CalendarDay; readonly to: CalendarDay };

/** More than this is asked for in parts. */
export const MOST_LOTS = 5000;

export async function listTraceLots(tx: GrowerTx, growerId: string, scope: TraceScope): Promise<TraceLot[]> {
  const rows = await tx.lot.findMany({
    where: {
      growerId,
      ...lotsOf(scope),
    },
    include: {
      strain: true,
      size: { select: { name: true } },
      grainBatch: { select: { code: true } },
      cycle: { select: { code: true, f0Min: true } },
      draws: { select: { jar: { select: { id: true, code: true } } } },
      jars: {
        orderBy: { serial: 'asc' },
        include: {
          draws: {
            where: { runId: { not: null } },
            include: { run: { select: { name: true, kind: true } }, entry: { select: { effectiveAt: true } } },
          },
        },
      },
    },
    orderBy: [{ madeOn: 'asc' }, { code: 'asc' }],
    take: MOST_LOTS + 1,
  });
  return rows.map((row) => ({
    ...{ id: row.id, code: row.code, origin: row.origin, generation: row.generation, supplier: row.supplier },
    strainCode: row.strain?.shortCode ?? '',
    strainName: row.strain?.name ?? '',
    species: row.strain === null ? '' : findSpecies(row.strain.speciesKey).profile.latinName,
    size: row.size.name,
    madeOn: dayFromColumn(row.madeOn),
    madeAt: (row.jars[0]?.madeAt ?? row.madeOn).toISOString(),
    grainBatch: row.grainBatch?.code ?? null,
    cycle: row.cycle?.code ?? null,
    f0Min: numberFromColumnOrNull(row.cycle?.f0Min ?? null),
    mothers: [...new Map(row.draws.map(({ jar }) => [jar.id, jar])).values()],
    jars: row.jars.map((jar) => ({
      ...{ id: jar.id, code: jar.code, state: jar.state, goneReason: jar.goneReason },
      madeG: numberFromColumn(jar.madeG),
      drawnG: numberFromColumn(jar.drawnG),
      leftG: numberFromColumn(jar.leftG),
      discardedG: numberFromColumn(jar.discardedG),
      contaminatedOn: dayFromColumnOrNull(jar.contaminatedOn),
      goneAt: jar.goneAt?.toISOString() ?? null,
    })),
    draws: row.jars.flatMap((jar) =>
      jar.draws.map((draw) => ({
        ...{ entryId: draw.entryId, jarId: jar.id, at: draw.entry.effectiveAt.toISOString() },
        ...{ massG: numberFromColumn(draw.massG), runId: draw.runId ?? '', runName: draw.run?.name ?? '' },
        runKind: draw.run?.kind === 'order' ? ('order' as const) : ('bulk' as const),
      })),
    ),
  }));
}

function lotsOf(scope: TraceScope) {
  if ('lotId' in scope) return { id: scope.lotId };
  // Letters in any case are compared by a pattern, so signs that mean others in one have to stand for themselves.
  if ('code' in scope) return { code: { equals: scope.code.replace(/[\\%_]/g, '\\$&'), mode: 'insensitive' as const } };
  return { madeOn: { gte: dayToColumn(scope.from), lte: dayToColumn(scope.to) } };
}

export async function listTraceHarvests(
  tx: GrowerTx,
  growerId: string,
  runIds: readonly string[],
): Promise<TraceHarvest[]> {
  const rows = await tx.harvest.findMany({
    where: { growerId, runId: { in: [...runIds] } },
    include: { entry: { select: { effectiveAt: true } } },
    orderBy: [{ harvestedOn: 'asc' }, { id: 'asc' }],
  });
  return rows.map(({ id, runId, flush, massG, entry }) => ({
    ...{ entryId: id, runId, flush, at: entry.effectiveAt.toISOString() },
    massG: numberFromColumn(massG),
  }));
}
