import type { KeptPlan } from '@jarfold/domain/planning';
import type { PlannerEffort } from './planner-messages.js';

/**
 * `glance` to ask what would be if, from the plan that stands; `quick` while somebody waits for a plan; `thorough` at
 * night, when there is time to look longer. A glance hands spawn out with as much search, and lives through the same
 * draws, as `quick` does, so that what did not change comes out the same. As its plan shall only stand
 * beside another, it looks for none beside the plan that stands while all of that can be made, and else tries fewer sets of
 * starts; it mends once and not until the plan is at rest, and leaves out what explains it. The plan of least expected cost
 * is not proven here: chance changes its starts afterwards, and the proof took a small farm seconds without a cheaper plan
 * coming of it (docs/assurance.md).
 */
export type PlanEffort = 'glance' | 'quick' | 'thorough';

const usual = { guardMs: 0, exact: 'never', searchDraws: 250, draws: 2_000, onlyCompared: false } as const;

export const planEfforts: Readonly<Record<PlanEffort, PlannerEffort>> = {
  glance: { ...usual, searchShare: 0.3, trials: 800, onlyCompared: true },
  quick: { ...usual, searchShare: 0.3, trials: 800 },
  thorough: { ...usual, searchShare: 1, trials: 1_600 },
};

/** Whether a plan was looked for as at a glance, so that what would be if can be set beside it. */
export function isAsAtAGlance({ searchShare }: KeptPlan): boolean {
  return searchShare === planEfforts.glance.searchShare;
}
