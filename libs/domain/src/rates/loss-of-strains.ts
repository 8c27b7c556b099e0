import { type PublishedRate, shrunkRates } from '../contamination/shrunk-rates.js';
import type { Group } from '../statistics/beta-binomial.js';
import type { Estimate } from '../statistics/estimate.js';
import type { LotCell } from './lot-cell.js';

/** Jars lost of jars started, lot by lot, of one strain. */
export function lotsLost(cells: readonly LotCell[], strainId: string): Group[] {
  const lots = new Map<string, { hits: number; n: number }>();
  for (const cell of cells) {
    if (cell.blank || cell.strainId !== strainId) continue;
    const lot = lots.get(cell.lotId) ?? { hits: 0, n: 0 };
    lots.set(cell.lotId, { hits: lot.hits + cell.lost, n: lot.n + cell.jars });
  }
  return [...lots.values()];
}

/**
 * Share of started jars lost before they were ripe, by strain, each drawn toward its published start. A strain without
 * a settled lot is left out.
 */
export function lossByStrain(
  cells: readonly LotCell[],
  published: (strainId: string) => PublishedRate,
): ReadonlyMap<string, Estimate> {
  const counts = new Map<string, { hits: number; n: number }>();
  for (const { blank, strainId, lost, jars } of cells) {
    if (blank || strainId === null) continue;
    const count = counts.get(strainId) ?? { hits: 0, n: 0 };
    counts.set(strainId, { hits: count.hits + lost, n: count.n + jars });
  }
  return new Map(
    [...counts].map(([key, { hits, n }]) => [key, shrunkRates([{ key, hits, n }], published(key)).rates[0]!.shrunk]),
  );
}
