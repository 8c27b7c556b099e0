import { requireThat } from '../errors.js';

/** Demand by period, what starting a lot costs, and what keeping one unit for one period costs. */
export interface LotSizingProblem {
  readonly demand: readonly number[];
  /** One for all periods, or one for each. */
  readonly setupCost: number | readonly number[];
  readonly holdingCost: number;
}

export interface LotPlan {
  /** Made in each period. */
  readonly lots: readonly number[];
  readonly cost: number;
}

/**
 * Lots of least total cost, proven: dynamic programming of Wagner and Whitin (Management Science 5, 1958), 864 on their
 * example.
 * @throws DomainError `lot-sizing-out-of-range`
 */
export function wagnerWhitin(problem: LotSizingProblem): LotPlan {
  const { demand, holdingCost } = problem;
  const setup = setups(problem);
  const best: number[] = [0];
  const madeIn: number[] = [];
  for (let last = 0; last < demand.length; last++) {
    let [cheapest, from] = [Number.POSITIVE_INFINITY, last];
    let [held, wanted] = [0, 0];
    for (let start = last; start >= 0; start--) {
      // Starting one period earlier keeps everything wanted so far one period longer.
      held += wanted * holdingCost;
      wanted += demand[start]!;
      const cost = best[start]! + (wanted > 0 ? setup[start]! : 0) + held;
      if (cost < cheapest) [cheapest, from] = [cost, start];
    }
    best.push(cheapest);
    madeIn.push(from);
  }
  const lots = new Array<number>(demand.length).fill(0);
  for (let last = demand.length - 1; last >= 0; last = madeIn[last]! - 1) {
    const from = madeIn[last]!;
    lots[from] = demand.slice(from, last + 1).reduce((sum, value) => sum + value, 0);
  }
  return { lots, cost: best.at(-1)! };
}

/**
 * The rule of thumb of Silver and Meal: lengthen a lot while its cost per period falls. Good, not always the best.
 * @throws DomainError `lot-sizing-out-of-range`
 */
export function silverMeal(problem: LotSizingProblem): LotPlan {
  const { demand, holdingCost } = problem;
  const setup = setups(problem);
  const lots = new Array<number>(demand.length).fill(0);
  for (let start = 0; start < demand.length; ) {
    let [cost, periods] = [setup[start]!, 1];
    while (start + periods < demand.length) {
      const longer = cost + periods * holdingCost * demand[start + periods]!;
      if (longer / (periods + 1) > cost / periods) break;
      cost = longer;
      periods++;
    }
    lots[start] = demand.slice(start, start + periods).reduce((sum, value) => sum + value, 0);
    start += periods;
  }
  return { lots, cost: costOf(lots, problem) };
}

/** What a plan of lots costs: set-ups, and units held from period to period. */
function costOf(lots: readonly number[], problem: LotSizingProblem): number {
  const setup = setups(problem);
  let [stock, cost] = [0, 0];
  lots.forEach((lot, i) => {
    stock += lot - problem.demand[i]!;
    cost += (lot > 0 ? setup[i]! : 0) + stock * problem.holdingCost;
  });
  return cost;
}

function setups({ demand, setupCost, holdingCost }: LotSizingProblem): readonly number[] {
  const setup = typeof setupCost === 'number' ? demand.map(() => setupCost) : setupCost;
  const numbers = [...demand, ...setup, holdingCost];
  requireThat(
    setup.length === demand.length &&
      demand.length > 0 &&
      numbers.every((value) => value >= 0 && Number.isFinite(value)),
    'lot-sizing-out-of-range',
    `Demand, set-up costs (one for all periods or ${demand.length}) and holding cost are 0 or more.`,
  );
  return setup;
}
