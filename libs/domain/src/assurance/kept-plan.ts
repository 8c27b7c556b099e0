import type { SpawnPlan } from '../planning/plan.js';
import type { PlanFacts } from './plan-facts.js';
import type { PlanAssurance } from './plan-with-assurance.js';

/** A plan as it is kept. Plans made before chance was counted have neither part. */
export interface KeptPlan extends SpawnPlan {
  readonly assurance?: PlanAssurance;
  readonly facts?: PlanFacts;
}
