import type { AssuranceOptions, FarmSituation, KeptPlan } from '@jarfold/domain/planning';
import type { GroundedChance } from './farm-chance.mapper.js';

/** How long and how finely a plan is looked for; the guard is for the proof of a small farm's plan. */
export type PlannerEffort = Required<
  Pick<AssuranceOptions, 'guardMs' | 'exact' | 'searchShare' | 'trials' | 'onlyCompared' | 'searchDraws' | 'draws'>
>;

export interface PlannerQuestion extends GroundedChance, PlannerEffort {
  readonly id: number;
  readonly situation: FarmSituation;
  /** Probability with which every run shall be covered. */
  readonly assurance: number;
}

export type PlannerAnswer =
  | { readonly id: number; readonly ok: true; readonly plan: KeptPlan; readonly solveMs: number }
  | { readonly id: number; readonly ok: false; readonly code: string | null; readonly message: string };
