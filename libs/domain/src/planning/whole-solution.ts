import { DomainError } from '../errors.js';
import type { LinearProgramme } from './linear-programme.js';
import { StrainSearch } from './local-search.js';
import { objective } from './plan-cost.js';
import { provingProgramme, provingStart } from './proving-programme.js';
import { roundChoices, roundStarts } from './rounding.js';
import { SharedLoad } from './shared-load.js';
import type { LinearSolver } from './solver-port.js';
import type { SpawnModel } from './spawn-model.js';
import { strainViews } from './strain-view.js';
import { handlingDays } from './timeline.js';

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
export function findWholeSolution(model: SpawnModel, solver: LinearSolver, effort: Partial<SearchEffort>): WholeFound {
  const wanted = { ...DEFAULT_EFFORT, ...effort };
  const session = solver.relax(model.programme);
  const relaxed = session.solve();
  session.close();
  const whole = searchStarts(model, relaxed.values, wanted.evaluationsPerStrain);
  const values = complete(model, solver, whole);
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

/** Rounds the relaxed starts and improves them strain by strain, until nothing helps or the budget is spent. */
function searchStarts(model: SpawnModel, relaxed: Float64Array, evaluations: number): Map<number, number> {
  const shared = new SharedLoad(model, handlingDays(model.situation));
  const chosen = roundChoices(model, relaxed);
  const searches = strainViews(model).map(
    (view) => new StrainSearch(model, view, shared, roundStarts(model, view, relaxed), chosen),
  );
  let improved = true;
  while (improved) {
    improved = false;
    for (const search of searches) if (search.sweep(evaluations)) improved = true;
  }
  const random = seededRandom(1);
  for (let busy = true; busy; ) {
    busy = false;
    for (const search of searches) {
      if (search.evaluations >= evaluations) continue;
      busy = true;
      search.shake(random, evaluations);
    }
  }
  return wholeColumns(model, searches, shared, chosen);
}

function wholeColumns(
  model: SpawnModel,
  searches: readonly StrainSearch[],
  shared: SharedLoad,
  chosen: Int32Array,
): Map<number, number> {
  const whole = new Map<number, number>();
  for (const search of searches) for (const [column, count] of search.wholeColumns()) whole.set(column, count);
  for (const { column, slot } of model.cycles) whole.set(column, Math.ceil(shared.total.cycles[slot.index]! - 1e-9));
  model.runs.forEach(({ choices }, run) => {
    if (choices.length > 1) whole.set(choices[chosen[run]!]!.chosen, 1);
  });
  return whole;
}

/** Fixes the whole numbers and lets the solver place the grams: the best use of what is opened, and proof that it fits. */
function complete({ programme }: SpawnModel, solver: LinearSolver, whole: ReadonlyMap<number, number>): Float64Array {
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
  if (solution.status !== 'optimal')
    throw new DomainError('no-plan-found', 'The whole-number plan does not fit its limits.');
  return solution.values;
}

/** The 32-bit generator mulberry32: small, and the same everywhere. */
function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}
