import type { FarmSituation, KeptPlan } from '@jarfold/domain/planning';
import type { GroundedChance } from './farm-chance.mapper.js';

export interface PlannerQuestion extends GroundedChance {
  readonly id: number;
  readonly situation: FarmSituation;
  /** How long the proof of a small farm's plan may take at most, milliseconds. */
  readonly guardMs: number;
  /** Probability with which every run shall be covered. */
  readonly assurance: number;
  /** Sets of starts to try out. */
  readonly trials: number;
}

export type PlannerAnswer =
  | { readonly id: number; readonly ok: true; readonly plan: KeptPlan; readonly solveMs: number }
  | { readonly id: number; readonly ok: false; readonly code: string | null; readonly message: string };
