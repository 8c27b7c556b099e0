import type { SpawnPlan } from '../planning/plan.js';
import type { ChanceGrounds } from './learned-chance.js';
import type { PlanFacts } from './plan-facts.js';
import type { PlanAssurance } from './plan-with-assurance.js';

/** A plan as it is kept. Older plans lack a part. */
export interface KeptPlan extends SpawnPlan {
  readonly assurance?: PlanAssurance;
  readonly facts?: PlanFacts;
  /** Where each strain's chance was taken from. */
  readonly grounds?: readonly ChanceGrounds[];
  /**
   * Share of the planner's usual search it was looked for with. Only plans of the same share can be told apart by what
   * they were made for.
   */
  readonly searchShare?: number;
}
