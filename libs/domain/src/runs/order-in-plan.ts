import type { RunCoverage, SpawnPlan } from '../planning/plan.js';
import type { CoverageKind } from '../week/week-of-plan.js';
import { type OrderStanding, orderStanding, type SpawnOrder } from './spawn-order.js';

/** A jar on hand as far as an order asks: its size, and whether it was opened. */
export interface JarForOrder {
  readonly sizeId: string;
  readonly opened: boolean;
}

/** How a plan serves an order, in whole jars of the size ordered. */
export interface OrderInPlan extends OrderStanding {
  readonly kind: CoverageKind;
  /** Grams missing to its least jars when it is short, otherwise to all of them. */
  readonly shortGrams: number;
  /** Grams the plan takes to it from opened jars or containers of another size: they fill no jar of the order. */
  readonly otherGrams: number;
}

/**
 * What of a plan's grams for an order leaves the farm as whole jars. The planner reckons in grams of a strain and does
 * not know that an order wants unopened containers of one size; what it takes from others is set apart here, so that
 * nobody promises jars that are none.
 * @param jars what is on hand, by code; a source in it that is no jar on hand is a start or a culture of the plan
 */
export function orderInPlan(
  plan: Pick<SpawnPlan, 'uses' | 'starts'>,
  coverage: Pick<RunCoverage, 'run'>,
  order: SpawnOrder & { readonly sizeId: string },
  jars: ReadonlyMap<string, JarForOrder>,
): OrderInPlan {
  const starts = new Map(plan.starts.map(({ id, sizeId }) => [id, sizeId]));
  const isWhole = (from: string) => {
    const jar = jars.get(from);
    return jar === undefined ? starts.get(from) === order.sizeId : !jar.opened && jar.sizeId === order.sizeId;
  };
  const uses = plan.uses.filter(({ to }) => to.kind === 'run' && to.run === coverage.run);
  const gramsOf = (some: typeof uses) => some.reduce((sum, { grams }) => sum + grams, 0);
  const standing = orderStanding(order, gramsOf(uses.filter(({ from }) => isWhole(from))));
  const { left, least, covered } = standing;
  const kind = covered >= left ? 'full' : covered >= least ? 'covered' : 'short';
  const missing = kind === 'full' ? 0 : (kind === 'short' ? least : left) - covered;
  return {
    ...{ ...standing, kind, shortGrams: missing * order.ripeGrams },
    otherGrams: gramsOf(uses.filter(({ from }) => !isWhole(from))),
  };
}
