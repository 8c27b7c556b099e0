import { DomainError } from '../errors.js';
import { objective } from './plan-cost.js';
import type { LinearSolver } from './solver-port.js';
import type { SpawnModel } from './spawn-model.js';

/** How hard to look for a good plan. The limits that count steps give the same plan on every machine. */
export interface SearchEffort {
  /** Branch-and-bound nodes for a farm that is solved exactly. */
  readonly exactNodes: number;
  /** Wall-clock guard for the whole search, in milliseconds. */
  readonly guardMs: number;
}

export interface WholeFound {
  readonly values: Float64Array;
  readonly cost: number;
  readonly bound: number;
  readonly exact: boolean;
}

const DEFAULT_EFFORT: SearchEffort = { exactNodes: 20_000, guardMs: 3_000 };

/** Finds a whole-number solution and the bound below which none can lie. */
export function findWholeSolution(model: SpawnModel, solver: LinearSolver, effort: Partial<SearchEffort>): WholeFound {
  const { exactNodes, guardMs } = { ...DEFAULT_EFFORT, ...effort };
  const found = solver.solveWhole(model.programme, {
    relativeGap: 0.01,
    maxNodes: exactNodes,
    timeLimitS: guardMs / 1000,
  });
  if (found.values === null) throw new DomainError('no-plan-found', 'No plan was found within the time allowed.');
  const cost = objective(model, found.values);
  return { values: found.values, cost, bound: Math.min(cost, found.bound), exact: found.status === 'optimal' };
}
