/** How hard to look for a good plan. The limits that count steps give the same plan on every machine. */
export interface SearchEffort {
  /** Whether the whole-number optimum is sought and proven. `when-small` does so for farms of up to about 50 jars. */
  readonly exact: 'when-small' | 'always' | 'never';
  /** Branch-and-bound nodes for a farm that is solved exactly. */
  readonly exactNodes: number;
  /** Ways to hand out to compare, over all strains. Left out: by the size of the farm, see {@link evaluationsFor}. */
  readonly evaluations?: number;
  /** Wall-clock guard for the exact solve, in milliseconds. */
  readonly guardMs: number;
}

export const DEFAULT_EFFORT: SearchEffort = { exact: 'when-small', exactNodes: 50_000, guardMs: 1_500 };

/** Evaluations for a farm of a hundred runs; one takes time in proportion to the runs of a strain. */
const EVALUATIONS_TIMES_RUNS = 900_000;
const MOST_EVALUATIONS = 40_000;

/** A budget that takes about the same time on farms of all sizes. */
export function evaluationsFor(runs: number): number {
  return Math.round(Math.min(MOST_EVALUATIONS, EVALUATIONS_TIMES_RUNS / Math.max(1, runs)));
}
