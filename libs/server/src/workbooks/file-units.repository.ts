import { type FileUnits, usualFileUnits } from '@jarfold/domain';
import type { GrowerTx } from '../platform/index.js';

export interface StoredFileUnits extends FileUnits {
  /** 0: nothing was said yet. */
  readonly revision: number;
}

/** How the grower's files show quantities and days; metric and ISO until the grower says otherwise. */
export async function readFileUnits(tx: GrowerTx, growerId: string): Promise<StoredFileUnits> {
  const row = await tx.exchangeSettings.findUnique({ where: { growerId } });
  if (row === null) return { ...usualFileUnits, revision: 0 };
  return {
    massUnit: row.massUnit as FileUnits['massUnit'],
    temperatureUnit: row.temperatureUnit as FileUnits['temperatureUnit'],
    weekStartsOn: row.weekStartsOn,
    dayStyle: row.dayStyle as FileUnits['dayStyle'],
    revision: row.revision,
  };
}

export async function writeFileUnits(tx: GrowerTx, growerId: string, units: StoredFileUnits): Promise<void> {
  await tx.exchangeSettings.upsert({ where: { growerId }, create: { growerId, ...units }, update: units });
}
