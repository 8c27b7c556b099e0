import type { FarmSituation, SpawnPlan } from '@jarfold/domain/planning';

export interface PlannerQuestion {
  readonly id: number;
  readonly situation: FarmSituation;
  /** How long the proof of a small farm's plan may take at most, milliseconds. */
  readonly guardMs: number;
}

export type PlannerAnswer =
  | { readonly id: number; readonly ok: true; readonly plan: SpawnPlan; readonly solveMs: number }
  | { readonly id: number; readonly ok: false; readonly code: string | null; readonly message: string };
