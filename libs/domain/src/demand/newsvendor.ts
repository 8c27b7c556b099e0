import { requireThat } from '../errors.js';
import { normalCdf, normalDensity, normalQuantile, poissonCdf } from '../statistics/distributions.js';

/** What being short or over by one unit costs. */
export interface MarginalCosts {
  /** Lost by one too few (profit missed, substrate thrown away). */
  readonly short: number;
  /** Lost by one too many (spawn aged out). */
  readonly over: number;
}

/** Chance with which demand should be met: short/(short + over). */
export function criticalRatio({ short, over }: MarginalCosts): number {
  requireThat(
    short > 0 && over > 0,
    'cost-out-of-range',
    `Costs of being short and over lie above 0, not ${short} and ${over}.`,
  );
  return short / (short + over);
}

export interface NewsvendorAnswer {
  readonly quantity: number;
  readonly criticalRatio: number;
  /** Expected cost of being short or over with this quantity. */
  readonly expectedCost: number;
  /** Share of the demand that is met on average. */
  readonly fillRate: number;
}

/**
 * How much to have ready for one uncertain demand, normally distributed.
 * Source: Porteus and Gallego as quoted by R's SCperf: N(100, 30), price 4, cost 1 gives 120.23.
 * @throws DomainError `cost-out-of-range`, `demand-out-of-range`
 */
export function newsvendor(mean: number, deviation: number, costs: MarginalCosts): NewsvendorAnswer {
  requireThat(
    mean > 0 && deviation > 0,
    'demand-out-of-range',
    `A demand has mean and deviation above 0, not ${mean} and ${deviation}.`,
  );
  const ratio = criticalRatio(costs);
  const z = normalQuantile(ratio);
  const lost = deviation * normalLoss(z);
  return {
    quantity: mean + z * deviation,
    criticalRatio: ratio,
    expectedCost: costs.short * lost + costs.over * (z * deviation + lost),
    fillRate: 1 - lost / mean,
  };
}

/** Expected shortfall of a standard normal demand with z in stock. `normalLoss(1)` is 0.0833. */
export const normalLoss = (z: number): number => normalDensity(z) - z * (1 - normalCdf(z));

/** Whole units to have ready for a Poisson demand, so that it is met with the critical ratio's chance or better. */
export function newsvendorPoisson(mean: number, costs: MarginalCosts): number {
  return poissonStock(mean, criticalRatio(costs));
}

/** Fewest whole units that meet a Poisson demand with a chance. `poissonStock(20, 0.95)` is 28. */
export function poissonStock(mean: number, chance: number): number {
  requireThat(
    mean > 0 && mean < 1e6 && chance > 0 && chance < 1,
    'demand-out-of-range',
    `A demand has a mean above 0 and a chance between 0 and 1, not ${mean} and ${chance}.`,
  );
  let stock = Math.max(0, Math.floor(mean - 6 * Math.sqrt(mean)));
  while (poissonCdf(stock, mean) < chance) stock++;
  return stock;
}
