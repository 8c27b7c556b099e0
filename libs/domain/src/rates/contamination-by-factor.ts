import type { CalendarDay } from '../calendar/calendar-day.js';
import { type PublishedRate, type ShrunkRate, shrunkRates } from '../contamination/shrunk-rates.js';
import type { LotCell } from './lot-cell.js';

/** What lots can be told apart by. */
export const RATE_FACTORS = ['strain', 'grainBatch', 'cycle', 'mother', 'operator', 'room', 'method'] as const;
export type RateFactor = (typeof RATE_FACTORS)[number];

/** What a factor is called in plain English; screens have their own catalogue. */
export const factorWords: Readonly<Record<RateFactor, string>> = {
  strain: 'strain',
  grainBatch: 'grain batch',
  cycle: 'steriliser cycle',
  mother: 'mother jar',
  operator: 'operator',
  room: 'room',
  method: 'method',
};

/** Which level of a factor a cell belongs to; null where it is not known. */
export const levelOf: { readonly [F in RateFactor]: (cell: LotCell) => string | null } = {
  strain: ({ strainId }) => strainId,
  grainBatch: ({ grainBatchId }) => grainBatchId,
  cycle: ({ cycleId }) => cycleId,
  mother: ({ motherId }) => motherId,
  operator: ({ operatorId }) => operatorId,
  room: ({ roomId }) => roomId,
  method: ({ method }) => method,
};

export interface FactorRate extends ShrunkRate {
  readonly lots: number;
  readonly lastMadeOn: CalendarDay;
}

export interface FactorRates {
  /** Where the mean came from that few jars are drawn toward. */
  readonly from: 'own groups' | 'published';
  readonly rates: readonly FactorRate[];
}

/**
 * Rates by one factor, newest first, each drawn toward the farm's mean as far as its few jars deserve.
 * @param cells of lots that count; blanks are left out
 * @param published what to start from, by level: strains of different species start differently
 */
export function ratesByFactor(
  cells: readonly LotCell[],
  factor: RateFactor,
  published: (level: string) => PublishedRate,
): FactorRates {
  const groups = [...grouped(cells, levelOf[factor]).values()];
  if (groups.length === 0) return { from: 'published', rates: [] };
  const together = shrunkRates(groups, published(groups[0]!.key));
  const rates = groups.map((group, i) => {
    const own =
      together.prior.from === 'own groups' ? together.rates[i]! : shrunkRates([group], published(group.key)).rates[0]!;
    return { ...own, lots: group.lots.size, lastMadeOn: group.lastMadeOn };
  });
  rates.sort((one, other) =>
    one.lastMadeOn === other.lastMadeOn ? other.n - one.n : one.lastMadeOn < other.lastMadeOn ? 1 : -1,
  );
  return { from: together.prior.from, rates };
}

interface Counted {
  readonly key: string;
  hits: number;
  n: number;
  readonly lots: Set<string>;
  lastMadeOn: CalendarDay;
}

function grouped(cells: readonly LotCell[], level: (cell: LotCell) => string | null): Map<string, Counted> {
  const groups = new Map<string, Counted>();
  for (const cell of cells) {
    const key = cell.blank ? null : level(cell);
    if (key === null) continue;
    const group = groups.get(key) ?? { key, hits: 0, n: 0, lots: new Set(), lastMadeOn: cell.madeOn };
    group.hits += cell.contaminated;
    group.n += cell.jars;
    group.lots.add(cell.lotId);
    if (cell.madeOn > group.lastMadeOn) group.lastMadeOn = cell.madeOn;
    groups.set(key, group);
  }
  return groups;
}
