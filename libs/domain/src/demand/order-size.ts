import { requireThat } from '../errors.js';
import { normalQuantile } from '../statistics/distributions.js';

/**
 * How much to order at a time where an order costs something and so does keeping (Harris 1913): √(2DK/h).
 * @param perYear used in a year, above 0 (grain, jars, minerals: things that keep)
 * @param perOrder cost of one order, above 0
 * @param keeping cost of keeping one unit for a year, above 0
 * @throws DomainError `order-out-of-range`
 * @example orderSize(1000, 10, 0.5) // 200
 */
export function orderSize(perYear: number, perOrder: number, keeping: number): number {
  requireThat(
    [perYear, perOrder, keeping].every((value) => value > 0 && Number.isFinite(value)),
    'order-out-of-range',
    `Use, cost of an order and cost of keeping lie above 0, not ${perYear}, ${perOrder} and ${keeping}.`,
  );
  return Math.sqrt((2 * perYear * perOrder) / keeping);
}

/** Use and delivery as they vary, in one unit of time. */
export interface Resupply {
  readonly usePerPeriod: number;
  readonly useDeviation: number;
  /** Periods from ordering to having it. */
  readonly leadPeriods: number;
  readonly leadDeviation: number;
}

/**
 * What to hold above the mean use of the waiting time, so that nothing runs out with a chance: z √(L σ² + d² s²).
 * @param assurance chance of not running out before a delivery, 0.5 to below 1
 * @throws DomainError `order-out-of-range`
 * @example safetyStock({ usePerPeriod: 50, useDeviation: 10, leadPeriods: 4, leadDeviation: 0.5 }, 0.95) // 52.66
 */
export function safetyStock(
  { usePerPeriod, useDeviation, leadPeriods, leadDeviation }: Resupply,
  assurance: number,
): number {
  requireThat(
    assurance >= 0.5 && assurance < 1,
    'order-out-of-range',
    `A stock is held against running out with a chance from 0.5 to below 1, not ${assurance}.`,
  );
  requireThat(
    [usePerPeriod, useDeviation, leadPeriods, leadDeviation].every((value) => value >= 0 && Number.isFinite(value)),
    'order-out-of-range',
    'Use, waiting time and their deviations are 0 or more.',
  );
  const deviation = Math.sqrt(leadPeriods * useDeviation ** 2 + (usePerPeriod * leadDeviation) ** 2);
  return normalQuantile(assurance) * deviation;
}
