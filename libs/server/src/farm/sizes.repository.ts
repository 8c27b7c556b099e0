import { carrierSchema, containerFormSchema } from '@jarfold/contracts';
import type { Carrier, ContainerForm } from '@jarfold/domain';
import { type GrowerTx, numberFromColumn } from '../platform/index.js';

/** A container size as the farm has stated it; null ripe grams are worked out. */
export interface SizeRow {
  readonly id: string;
  readonly revision: number;
  readonly name: string;
  readonly container: ContainerForm;
  readonly carrier: Carrier;
  readonly volumeMl: number;
  readonly ripeGrams: number | null;
  readonly inoculumFactor: number;
  readonly vesselPlaces: number;
  readonly shelfPlaces: number;
  readonly cleanEmpty: number | null;
  readonly archived: boolean;
}

export async function listSizes(tx: GrowerTx, growerId: string): Promise<SizeRow[]> {
  const rows = await tx.containerSize.findMany({
    where: { growerId },
    include: { pool: true },
    orderBy: { volumeMl: 'asc' },
  });
  return rows.map(sizeFromRow);
}

export async function findSize(tx: GrowerTx, growerId: string, id: string): Promise<SizeRow | null> {
  const where = { growerId_id: { growerId, id } };
  const row = await tx.containerSize.findUnique({ where, include: { pool: true } });
  return row === null ? null : sizeFromRow(row);
}

export async function insertSize(tx: GrowerTx, growerId: string, size: SizeRow): Promise<void> {
  await tx.containerSize.create({ data: { growerId, id: size.id, ...sizeColumns(size) } });
}

export async function updateSize(
  tx: GrowerTx,
  growerId: string,
  size: SizeRow,
  archivedAt: Date | null,
): Promise<void> {
  const where = { growerId_id: { growerId, id: size.id } };
  await tx.containerSize.update({ where, data: { ...sizeColumns(size), archivedAt } });
}

/** The farm does not count its clean empties of this size any more: they no longer limit a plan. */
export async function stopCounting(tx: GrowerTx, growerId: string, sizeId: string): Promise<void> {
  await tx.containerPool.updateMany({ where: { growerId, sizeId }, data: { cleanEmpty: null } });
}

export async function sizeNameTaken(tx: GrowerTx, growerId: string, name: string, exceptId: string): Promise<boolean> {
  return (await tx.containerSize.count({ where: { growerId, name, NOT: { id: exceptId } } })) > 0;
}

export async function countJarsOfSize(tx: GrowerTx, growerId: string, sizeId: string): Promise<number> {
  const standing = ['incubating', 'ripe', 'chilled', 'opened'];
  return tx.jar.count({ where: { growerId, sizeId, state: { in: standing } } });
}

/** Planned orders for jars of a size. */
export async function countOrdersOfSize(tx: GrowerTx, growerId: string, sizeId: string): Promise<number> {
  return tx.bulkRun.count({ where: { growerId, sizeId, state: 'planned' } });
}

function sizeColumns(size: SizeRow) {
  return {
    revision: size.revision,
    name: size.name,
    container: size.container,
    carrier: size.carrier,
    volumeMl: size.volumeMl,
    ripeG: size.ripeGrams,
    inoculumFactor: size.inoculumFactor,
    vesselPlaces: size.vesselPlaces,
    shelfPlaces: size.shelfPlaces,
  };
}

type SizeColumns = Awaited<ReturnType<GrowerTx['containerSize']['findMany']>>[number] & {
  readonly pool: { readonly cleanEmpty: number | null } | null;
};

function sizeFromRow(row: SizeColumns): SizeRow {
  return {
    id: row.id,
    revision: row.revision,
    name: row.name,
    container: containerFormSchema.parse(row.container),
    carrier: carrierSchema.parse(row.carrier),
    volumeMl: numberFromColumn(row.volumeMl),
    ripeGrams: row.ripeG === null ? null : numberFromColumn(row.ripeG),
    inoculumFactor: numberFromColumn(row.inoculumFactor),
    vesselPlaces: numberFromColumn(row.vesselPlaces),
    shelfPlaces: numberFromColumn(row.shelfPlaces),
    cleanEmpty: row.pool?.cleanEmpty ?? null,
    archived: row.archivedAt !== null,
  };
}
