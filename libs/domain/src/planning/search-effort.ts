/** How hard to look for a good plan. The limits that count steps give the same plan on every machine. */
export interface SearchEffort {
  /** Whether the whole-number optimum is sought and proven. `when-small` does so for farms of up to 60 jars. */
  readonly exact: 'when-small' | 'always' | 'never';
  /** Branch-and-bound nodes for a farm that is solved exactly. */
  readonly exactNodes: number;
  /** Ways to hand out to compare, over all strains. Left out: by the size of the farm, see {@link budgetsOf}. */
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

/** How many times the usual budget a farm may have while it gains, and the ways its runs can take place up to which. */
const MOST_TIMES = 8;
const WAYS_THAT_MAY_GO_ON = 60;

/** Hand-outs to compare, over all strains. */
export interface SearchBudget {
  /** In any case. */
  readonly usual: number;
  /** At most, while it gains. */
  readonly most: number;
}

/** What is compared while somebody waits, and what after that, with another beginning, where nobody does. */
export interface SearchBudgets {
  readonly waited: SearchBudget;
  readonly more: SearchBudget | null;
}

/**
 * A hand-out takes time in proportion to the ways, so a farm with many of them needs the whole wait for the usual budget.
 * A budget above the usual one is spent on what somebody who waits would get, and the rest anew: so looking harder never
 * ends at a dearer plan.
 * @param asked hand-outs asked for; left out, as many as usual and more while they gain
 * @param ways days and strains with which the farm's runs can take place, over all runs
 */
export function budgetsOf(asked: number | undefined, runs: number, ways: number): SearchBudgets {
  const usual = evaluationsFor(runs);
  if (asked !== undefined && asked <= usual) return { waited: { usual: asked, most: asked }, more: null };
  const waited = { usual, most: ways <= WAYS_THAT_MAY_GO_ON ? MOST_TIMES * usual : usual };
  const rest = (asked ?? 0) - waited.most;
  return { waited, more: rest > 0 ? { usual: rest, most: rest } : null };
}

/** A budget that takes about the same time on farms of all sizes. */
export function evaluationsFor(runs: number): number {
  return Math.round(Math.min(MOST_EVALUATIONS, EVALUATIONS_TIMES_RUNS / Math.max(1, runs)));
}

/** For plans made at night or for a comparison: some seconds for a farm of a hundred runs, and time for the proof. */
export function thoroughEffort(runs: number): SearchEffort {
  return { ...DEFAULT_EFFORT, guardMs: 20_000, evaluations: THOROUGH_TIMES * evaluationsFor(runs) };
}
