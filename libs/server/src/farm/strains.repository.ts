import type { Strain } from '@jarfold/contracts';
import type { StrainOverrides } from '@jarfold/domain';
import { type GrowerTx, numberFromColumn } from '../platform/index.js';

/** A strain as the farm has stated it; null values go by the species. */
export interface StrainRow extends StrainOverrides {
  readonly id: string;
  readonly revision: number;
  readonly code: string;
  readonly name: string;
  readonly speciesKey: string;
  readonly motherReserve: number;
  readonly culture: Strain['culture'];
  readonly archived: boolean;
}

export async function listStrains(tx: GrowerTx, growerId: string): Promise<StrainRow[]> {
  const rows = await tx.strain.findMany({ where: { growerId }, orderBy: { shortCode: 'asc' } });
  return rows.map(strainFromRow);
}

export async function findStrain(tx: GrowerTx, growerId: string, id: string): Promise<StrainRow | null> {
  const row = await tx.strain.findUnique({ where: { growerId_id: { growerId, id } } });
  return row === null ? null : strainFromRow(row);
}

export async function insertStrain(tx: GrowerTx, growerId: string, strain: StrainRow): Promise<void> {
  await tx.strain.create({ data: { growerId, id: strain.id, ...strainColumns(strain) } });
}

export async function updateStrain(
  tx: GrowerTx,
  growerId: string,
  strain: StrainRow,
  archivedAt: Date | null,
): Promise<void> {
  const where = { growerId_id: { growerId, id: strain.id } };
  await tx.strain.update({ where, data: { ...strainColumns(strain), archivedAt } });
}

export async function strainCodesInUse(tx: GrowerTx, growerId: string): Promise<Map<string, string>> {
  const rows = await tx.strain.findMany({ where: { growerId }, select: { id: true, shortCode: true } });
  return new Map(rows.map(({ shortCode, id }) => [shortCode, id]));
}

/** What still goes by this strain: jars that stand somewhere, and runs that are planned. */
export async function strainInUse(
  tx: GrowerTx,
  growerId: string,
  strainId: string,
): Promise<{ jars: number; runs: number }> {
  const standing = ['incubating', 'ripe', 'chilled', 'opened'];
  const jars = await tx.jar.count({ where: { growerId, strainId, state: { in: standing } } });
  const runs = await tx.bulkRunStrain.count({ where: { growerId, strainId, run: { state: 'planned' } } });
  return { jars, runs };
}

/** Jars ever made of the strain: its code stands in their codes. */
export async function countLotsOfStrain(tx: GrowerTx, growerId: string, strainId: string): Promise<number> {
  return tx.lot.count({ where: { growerId, strainId } });
}

function strainColumns(strain: StrainRow) {
  return {
    revision: strain.revision,
    shortCode: strain.code,
    name: strain.name,
    speciesKey: strain.speciesKey,
    inoculumG: strain.inoculumGramsPerContainer,
    daysToRipe: strain.daysToRipe,
    lossRate: strain.lossRate,
    warmLifeDays: strain.warmLifeDays,
    coldLifeDays: strain.coldLifeDays,
    mayBeChilled: strain.mayBeChilled,
    lastGeneration: strain.lastGeneration,
    motherReserve: strain.motherReserve,
    cultureLeadDays: strain.culture?.leadDays ?? null,
    cultureContainersPerUnit: strain.culture?.containersPerUnit ?? null,
    cultureCostPerUnit: strain.culture?.costPerUnit ?? null,
  };
}

type StrainColumns = Awaited<ReturnType<GrowerTx['strain']['findMany']>>[number];

export function strainFromRow(row: StrainColumns): StrainRow {
  const decimal = (value: StrainColumns['lossRate']) => (value === null ? null : numberFromColumn(value));
  return {
    id: row.id,
    revision: row.revision,
    code: row.shortCode,
    name: row.name,
    speciesKey: row.speciesKey,
    inoculumGramsPerContainer: decimal(row.inoculumG),
    daysToRipe: row.daysToRipe,
    lossRate: decimal(row.lossRate),
    warmLifeDays: row.warmLifeDays,
    coldLifeDays: row.coldLifeDays,
    mayBeChilled: row.mayBeChilled,
    lastGeneration: row.lastGeneration,
    motherReserve: row.motherReserve,
    culture: cultureFromRow(row),
    archived: row.archivedAt !== null,
  };
}

function cultureFromRow(row: StrainColumns): Strain['culture'] {
  const { cultureLeadDays: leadDays, cultureContainersPerUnit: containersPerUnit, cultureCostPerUnit } = row;
  if (leadDays === null || containersPerUnit === null || cultureCostPerUnit === null) return null;
  return { leadDays, containersPerUnit, costPerUnit: numberFromColumn(cultureCostPerUnit) };
}
