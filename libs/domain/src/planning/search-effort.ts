/** How hard to look for a good plan. The limits that count steps give the same plan on every machine. */
export interface SearchEffort {
  /** Whether the whole-number optimum is sought and proven. `when-small` does so for farms of up to 60 jars. */
  readonly exact: 'when-small' | 'always' | 'never';
  /** Branch-and-bound nodes for a farm that is solved exactly. */
  readonly exactNodes: number;
  /** Ways to hand out to compare, over all strains. Left out: by the size of the farm, see {@link evaluationsFor}. */
  readonly evaluations?: number;
  /** Wall-clock guard for the exact solve, in milliseconds. */
  readonly guardMs: number;
}

export const DEFAULT_EFFORT: SearchEffort = { exact: 'when-small', exactNodes: 50_000, guardMs: 3_000 };

/** Hand-outs of all runs together that take about a quarter of a second; one takes time in proportion to its runs. */
const EVALUATIONS_TIMES_RUNS = 2_000_000;
const MOST_EVALUATIONS = 70_000;
/** How much harder to look where nobody waits. */
const THOROUGH_TIMES = 25;

/** A budget that takes about the same time on farms of all sizes. */
export function evaluationsFor(runs: number): number {
  return Math.round(Math.min(MOST_EVALUATIONS, EVALUATIONS_TIMES_RUNS / Math.max(1, runs)));
}

/** For plans made at night or for a comparison: some seconds for a farm of a hundred runs, and time for the proof. */
export function thoroughEffort(runs: number): SearchEffort {
  return { ...DEFAULT_EFFORT, guardMs: 20_000, evaluations: THOROUGH_TIMES * evaluationsFor(runs) };
}
