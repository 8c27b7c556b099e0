import type { TracePoint } from '@jarfold/domain';
import type { GrowerTx } from '../platform/index.js';

/** A trace as it was attached: it is never changed, a newer one counts in its place. */
export interface StoredTrace {
  readonly id: string;
  readonly cycleId: string;
  /** The first attached to its cycle is 1. */
  readonly ordinal: number;
  readonly attachedAt: Date;
  readonly attachedBy: string;
  readonly origin: 'file' | 'points';
  readonly fileName: string | null;
  readonly unit: 'C' | 'F';
  readonly points: readonly TracePoint[];
}

/** The trace that counts of each of these cycles: the one attached last. Cycles without a trace are missing. */
export async function newestTraces(
  tx: GrowerTx,
  growerId: string,
  cycleIds: readonly string[],
): Promise<ReadonlyMap<string, StoredTrace>> {
  const rows = await tx.cycleTrace.findMany({
    where: { growerId, cycleId: { in: [...cycleIds] } },
    orderBy: [{ cycleId: 'asc' }, { ordinal: 'desc' }],
    distinct: ['cycleId'],
  });
  return new Map(rows.map((row) => [row.cycleId, traceFromRow(row)]));
}

export async function findTrace(tx: GrowerTx, growerId: string, id: string): Promise<StoredTrace | null> {
  const row = await tx.cycleTrace.findUnique({ where: { growerId_id: { growerId, id } } });
  return row === null ? null : traceFromRow(row);
}

export async function insertTrace(tx: GrowerTx, growerId: string, trace: StoredTrace): Promise<void> {
  const points = trace.points.map(({ minute, temperatureC }) => [minute, temperatureC]);
  await tx.cycleTrace.create({ data: { growerId, ...trace, points } });
}

/** What a person is called; null once the name was erased. */
export async function nameOfStaff(tx: GrowerTx, growerId: string, staffId: string): Promise<string | null> {
  const row = await tx.staffName.findUnique({ where: { growerId_staffId: { growerId, staffId } } });
  return row?.name ?? null;
}

type Row = Omit<StoredTrace, 'origin' | 'unit' | 'points'> & {
  readonly origin: string;
  readonly unit: string;
  readonly points: unknown;
};

function traceFromRow({ origin, unit, points, ...row }: Row): StoredTrace {
  const { id, cycleId, ordinal, attachedAt, attachedBy, fileName } = row;
  return {
    ...{ id, cycleId, ordinal, attachedAt, attachedBy, fileName },
    ...{ origin: origin as StoredTrace['origin'], unit: unit as StoredTrace['unit'] },
    points: (points as [number, number][]).map(([minute, temperatureC]) => ({ minute, temperatureC })),
  };
}
