import type { LinearProgramme } from './linear-programme.js';

/** How a solve ended. `limit` still carries the best values found, when there are any. */
export type SolveStatus = 'optimal' | 'infeasible' | 'unbounded' | 'limit';

export interface RelaxedSolution {
  readonly status: SolveStatus;
  readonly objective: number;
  readonly values: Float64Array;
  /** What one more unit on a row's right side changes the objective by. */
  readonly rowPrices: Float64Array;
}

export interface WholeSolution {
  readonly status: SolveStatus;
  /** Infinity when nothing feasible was found. */
  readonly objective: number;
  readonly values: Float64Array | null;
  /** No whole solution costs less than this. */
  readonly bound: number;
}

export interface WholeLimits {
  /** Stop when (objective − bound) ≤ this share of the objective. */
  readonly relativeGap: number;
  /** Branch-and-bound nodes; the same limit gives the same answer on every machine. */
  readonly maxNodes: number;
  /** Wall-clock guard. A solve it cuts short may differ between machines. */
  readonly timeLimitS: number;
  /** A whole solution to start from. */
  readonly start?: Float64Array;
}

/** A programme held in a solver, changed and solved again without being handed over anew. Must be closed. */
export interface RelaxedSession {
  solve(): RelaxedSolution;
  /** Adds a column; its number is the next. The next solve starts from the last basis. */
  addColumn(cost: number, upper: number, rows: readonly number[], coefficients: readonly number[]): void;
  close(): void;
}

/** What the planner needs of a solver of linear programmes. */
export interface LinearSolver {
  /** Holds the programme with whole numbers relaxed to real ones. */
  relax(programme: LinearProgramme): RelaxedSession;
  /** Solves with whole numbers. */
  solveWhole(programme: LinearProgramme, limits: WholeLimits): WholeSolution;
}
