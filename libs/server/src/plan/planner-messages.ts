import type { FarmSituation, SpawnPlan } from '@jarfold/domain/planning';

export interface PlannerQuestion {
  readonly id: number;
  readonly situation: FarmSituation;
}

export type PlannerAnswer =
  | { readonly id: number; readonly ok: true; readonly plan: SpawnPlan; readonly solveMs: number }
  | { readonly id: number; readonly ok: false; readonly code: string | null; readonly message: string };
