import { requireThat } from '../errors.js';
import { biologicalEfficiency } from './biological-efficiency.js';

/** Mushrooms picked from a run on a day. */
export interface Picking {
  readonly day: number;
  /** 1 is the first flush. */
  readonly flush: number;
  readonly freshG: number;
  /** Of which fit to sell; null when not sorted. */
  readonly saleableG: number | null;
}

export interface FlushYield {
  readonly flush: number;
  readonly freshG: number;
  /** Share of the run's total; null when nothing was picked. */
  readonly share: number | null;
  readonly efficiency: number;
  readonly firstDay: number;
}

export interface RunYield {
  /** The grams stay beside the ratio: a ratio printed wrong can be seen and put right. */
  readonly freshG: number;
  readonly saleableG: number | null;
  readonly substrateDryG: number;
  readonly efficiency: number;
  readonly flushes: readonly FlushYield[];
  /** Days from spawning to the first picking; null when nothing was picked. */
  readonly daysToFirstHarvest: number | null;
  /** Days between the first pickings of one flush and the next. */
  readonly daysBetweenFlushes: readonly number[];
}

/**
 * What a run gave.
 * @param spawnedOn day number of spawning
 * @throws DomainError `mass-out-of-range`, `picking-before-spawning`, `flush-out-of-range`
 */
export function runYield(pickings: readonly Picking[], substrateDryG: number, spawnedOn: number): RunYield {
  for (const picking of pickings) requirePicking(picking, spawnedOn);
  const freshG = pickings.reduce((sum, picking) => sum + picking.freshG, 0);
  const sorted = pickings.every(({ saleableG }) => saleableG !== null);
  const numbers = [...new Set(pickings.map(({ flush }) => flush))].sort((a, b) => a - b);
  const flushes = numbers.map((flush) => {
    const own = pickings.filter((picking) => picking.flush === flush);
    const grams = own.reduce((sum, picking) => sum + picking.freshG, 0);
    return {
      flush,
      freshG: grams,
      share: freshG > 0 ? grams / freshG : null,
      efficiency: biologicalEfficiency(grams, substrateDryG),
      firstDay: Math.min(...own.map(({ day }) => day)),
    };
  });
  return {
    freshG,
    saleableG: sorted ? pickings.reduce((sum, picking) => sum + picking.saleableG!, 0) : null,
    substrateDryG,
    efficiency: biologicalEfficiency(freshG, substrateDryG),
    flushes,
    daysToFirstHarvest: flushes[0] ? Math.min(...pickings.map(({ day }) => day)) - spawnedOn : null,
    daysBetweenFlushes: flushes.slice(1).map(({ firstDay }, i) => firstDay - flushes[i]!.firstDay),
  };
}

function requirePicking({ day, flush, freshG, saleableG }: Picking, spawnedOn: number): void {
  requireThat(
    freshG >= 0 && Number.isFinite(freshG) && (saleableG === null || (saleableG >= 0 && saleableG <= freshG)),
    'mass-out-of-range',
    `A picking of ${freshG} g of which ${saleableG} g can be sold cannot be.`,
  );
  requireThat(Number.isInteger(flush) && flush >= 1, 'flush-out-of-range', `Flushes count from 1, not ${flush}.`);
  requireThat(
    day >= spawnedOn,
    'picking-before-spawning',
    `Picked on day ${day}, before the run was spawned on day ${spawnedOn}.`,
  );
}
