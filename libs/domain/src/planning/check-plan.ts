import { checkCapacities } from './check-capacities.js';
import { checkCost } from './check-cost.js';
import { CheckedFarm } from './check-farm.js';
import { checkRuns } from './check-runs.js';
import { checkSources, type SourceLife } from './check-sources.js';
import { checkStanding } from './check-standing.js';
import { checkStarts } from './check-starts.js';
import type { SpawnPlan } from './plan.js';
import type { FarmSituation } from './situation.js';

export interface PlanCheck {
  /** What is wrong with the plan, in English; empty when nothing is. */
  readonly faults: readonly string[];
  /** The plan's cost, counted again from what it says. */
  readonly cost: number;
  /** What becomes of every container, for further checks. */
  readonly sources: readonly SourceLife[];
}

/**
 * Checks a plan against the situation it was made for, from the plan's own words: whole numbers, no gram used twice, none
 * before it is ripe or after it has aged out, inoculum that balances, generations, bench, steriliser, shelves and clean
 * containers within their limits, and the cost. It shares no arithmetic with the planner but the calendar.
 */
export function checkPlan(situation: FarmSituation, plan: SpawnPlan): PlanCheck {
  const farm = new CheckedFarm(situation, plan);
  checkStarts(farm);
  checkStanding(farm);
  const sources = checkSources(farm);
  checkRuns(farm);
  checkCapacities(farm, sources);
  const cost = checkCost(farm, sources);
  return { faults: farm.faults, cost, sources };
}
