import { containerValues } from '@jarfold/domain';
import type { GrowerTx } from '../platform/index.js';
import { farmGrain } from './farm-grain.js';
import { readSettings } from './settings.repository.js';
import { listSizes } from './sizes.repository.js';

/** A container size as an order names it. */
export interface SizeHolding {
  readonly name: string;
  /** Ripe spawn in a full one, as weighed by the farm or worked out. */
  readonly ripeGrams: number;
}

/** What a full container of each of the farm's sizes holds now, by the size's id; archived sizes too. */
export async function sizeHoldings(tx: GrowerTx, growerId: string): Promise<ReadonlyMap<string, SizeHolding>> {
  const grain = farmGrain(await readSettings(tx, growerId));
  const sizes = await listSizes(tx, growerId);
  return new Map(
    sizes.map((size) => [size.id, { name: size.name, ripeGrams: containerValues(size, grain).ripeGrams.value }]),
  );
}
