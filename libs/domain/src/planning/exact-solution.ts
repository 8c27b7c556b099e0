import type { FarmSearch } from './farm-search.js';
import type { LinearProgramme } from './linear-programme.js';
import { tieBreakingCost } from './model-pools.js';
import { provingProgramme, provingStart } from './proving-programme.js';
import type { LinearSolver } from './solver-port.js';
import type { SpawnModel } from './spawn-model.js';
import { wholeColumns } from './whole-columns.js';

export interface ExactFound {
  readonly values: Float64Array;
  readonly cost: number;
  readonly bound: number;
  readonly exact: boolean;
}

export interface ProofLimits {
  /** Branch-and-bound nodes; the same limit gives the same answer on every machine. */
  readonly nodes: number;
  /** Wall-clock guard, in milliseconds. */
  readonly guardMs: number;
}

/** A gap that is nothing but rounding. */
const CLOSED = 1e-6;

export function isClosed(cost: number, bound: number): boolean {
  return cost - bound <= CLOSED * (1 + Math.abs(cost));
}

/**
 * Branch and bound from what a search has found, to the proven optimum or to the limits. Null when no whole solution of
 * the programme is known in the end.
 */
export function solveExactly(
  farm: FarmSearch,
  model: SpawnModel,
  solver: LinearSolver,
  limits: ProofLimits,
): ExactFound | null {
  const whole = wholeColumns(farm, model);
  const start = whole && complete(model, solver, whole);
  const solved = solver.solveWhole(provingProgramme(model), {
    relativeGap: 0,
    maxNodes: limits.nodes,
    timeLimitS: limits.guardMs / 1000,
    ...(start ? { start: provingStart(model, start) } : {}),
  });
  const values = solved.values?.slice(0, model.programme.columns) ?? null;
  const found = values !== null && isWhole(model, values) ? completed(model, solver, values) : null;
  const known = [start, found].filter((each) => each !== null);
  const [best] = known.sort((one, other) => objective(model, one) - objective(model, other));
  if (!best) return null;
  const hairs = tieBreakingCost(model, best);
  const cost = objective(model, best) - hairs;
  const bound = Math.min(cost, solved.bound - hairs);
  return { values: best, cost, bound, exact: isClosed(cost, bound) };
}

/** The same whole numbers with the best grams: a solve that was cut short may leave those anywhere. */
function completed(model: SpawnModel, solver: LinearSolver, values: Float64Array): Float64Array {
  const whole = new Map<number, number>();
  model.programme.whole.forEach((mustBeWhole, column) => {
    if (mustBeWhole === 1) whole.set(column, Math.round(values[column]!));
  });
  return complete(model, solver, whole) ?? values;
}

/** cost·x of the programme. */
export function objective({ programme }: SpawnModel, values: Float64Array): number {
  let sum = 0;
  for (let column = 0; column < programme.columns; column += 1) sum += programme.cost[column]! * values[column]!;
  return sum;
}

function isWhole({ programme }: SpawnModel, values: Float64Array): boolean {
  return programme.whole.every((mustBeWhole, column) => {
    const value = values[column]!;
    return mustBeWhole === 0 || Math.abs(value - Math.round(value)) < 1e-4;
  });
}

/** Fixes the whole numbers and lets the solver place the grams: the best use of what is opened, and proof that it fits. */
export function complete(
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
