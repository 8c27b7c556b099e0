import { DomainError } from '../errors.js';
import type { LinearProgramme } from './linear-programme.js';
import { objective } from './plan-cost.js';
import { provingProgramme, provingStart } from './proving-programme.js';
import type { LinearSolver, RelaxedSolution } from './solver-port.js';
import type { SpawnModel } from './spawn-model.js';
import { searchStarts } from './start-search.js';

/** How hard to look for a good plan. The limits that count steps give the same plan on every machine. */
export interface SearchEffort {
  /** Whether the whole-number optimum is sought and proven. `when-small` does so for farms of up to about 50 jars. */
  readonly exact: 'when-small' | 'always' | 'never';
  /** Branch-and-bound nodes for a farm that is solved exactly. */
  readonly exactNodes: number;
  /** Sets of starts to compare, for each strain. */
  readonly evaluationsPerStrain: number;
  /** Wall-clock guard for the exact solve, in milliseconds. */
  readonly guardMs: number;
}

export interface WholeFound {
  readonly values: Float64Array;
  readonly cost: number;
  readonly bound: number;
  readonly exact: boolean;
}

export const DEFAULT_EFFORT: SearchEffort = {
  exact: 'when-small',
  exactNodes: 50_000,
  evaluationsPerStrain: 1500,
  guardMs: 1_500,
};

/** Containers on hand and started up to which a farm is solved exactly: "under 50 jars" with room for what comes. */
const SMALL_FARM_CONTAINERS = 60;

/** Finds a whole-number solution and the bound below which none can lie. */
export function findWholeSolution(
  model: SpawnModel,
  solver: LinearSolver,
  relaxed: RelaxedSolution,
  effort: Partial<SearchEffort>,
): WholeFound {
  const wanted = { ...DEFAULT_EFFORT, ...effort };
  const whole = searchStarts(model, relaxed.values, wanted.evaluationsPerStrain);
  const values = complete(model, solver, whole) ?? complete(model, solver, new Map());
  if (values === null) throw new DomainError('no-plan-found', 'Not even a plan that starts nothing fits the limits.');
  const cost = objective(model, values);
  const found = { values, cost, bound: Math.min(cost, relaxed.objective), exact: false };
  return isWorthProving(model, values, wanted.exact) ? prove(model, solver, found, wanted) : found;
}

function isWorthProving(model: SpawnModel, values: Float64Array, exact: SearchEffort['exact']): boolean {
  const started = model.starts.reduce((sum, start) => sum + values[start.column]!, 0);
  const small = model.situation.containers.length + started <= SMALL_FARM_CONTAINERS;
  return exact === 'always' || (exact === 'when-small' && small);
}

/** Branch and bound from the plan found, to the proven optimum or to the limits. */
function prove(model: SpawnModel, solver: LinearSolver, found: WholeFound, effort: SearchEffort): WholeFound {
  if (isClosed(found)) return { ...found, exact: true };
  const solved = solver.solveWhole(provingProgramme(model), {
    relativeGap: 0,
    maxNodes: effort.exactNodes,
    timeLimitS: effort.guardMs / 1000,
    start: provingStart(model, found.values),
  });
  const values = solved.values?.slice(0, model.programme.columns);
  const bound = Math.max(found.bound, solved.bound);
  const better = values && solved.objective < found.cost - CLOSED * (1 + found.cost) && isWhole(model, values);
  const best = better ? { values, cost: objective(model, values) } : { values: found.values, cost: found.cost };
  const proven = { ...best, bound: Math.min(best.cost, bound), exact: false };
  return { ...proven, exact: isClosed(proven) };
}

/** A gap that is nothing but rounding. */
const CLOSED = 1e-6;

function isClosed({ cost, bound }: WholeFound): boolean {
  return cost - bound <= CLOSED * (1 + Math.abs(cost));
}

function isWhole({ programme }: SpawnModel, values: Float64Array): boolean {
  return programme.whole.every((mustBeWhole, column) => {
    const value = values[column]!;
    return mustBeWhole === 0 || Math.abs(value - Math.round(value)) < 1e-4;
  });
}

/** Fixes the whole numbers and lets the solver place the grams: the best use of what is opened, and proof that it fits. */
function complete(
  { programme }: SpawnModel,
  solver: LinearSolver,
  whole: ReadonlyMap<number, number>,
): Float64Array | null {
  const lower = Float64Array.from(programme.lower);
  const upper = Float64Array.from(programme.upper);
  programme.whole.forEach((mustBeWhole, column) => {
    if (mustBeWhole === 0) return;
    lower[column] = whole.get(column) ?? 0;
    upper[column] = lower[column]!;
  });
  const fixed: LinearProgramme = { ...programme, lower, upper };
  const session = solver.relax(fixed);
  const solution = session.solve();
  session.close();
  return solution.status === 'optimal' ? solution.values : null;
}
