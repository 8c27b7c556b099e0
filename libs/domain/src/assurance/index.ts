export { type Supposition, supposed } from './changed-situation.js';
export {
  type FarmChance,
  noChance,
  type StrainChance,
  usualChance,
  usualStrainChance,
} from './farm-chance.js';
export { KeptLuck } from './kept-luck.js';
export type { KeptPlan } from './kept-plan.js';
export { type ChanceGrounds, learnedStrainChance, type StrainEvidence } from './learned-chance.js';
export {
  type ChangedFact,
  type ComparedPlan,
  type PlanChanges,
  planChanges,
  type RunChange,
  type StartChange,
} from './plan-changes.js';
export { type PlanFacts, planFacts } from './plan-facts.js';
export {
  type AssuranceOptions,
  type AssuredPlan,
  type BelowAssurance,
  type PlanAssurance,
  planWithAssurance,
  usualAssurance,
} from './plan-with-assurance.js';
export { type DrawOptions, type PlanChance, type RunChance, simulatePlan, usualDraws } from './simulate-plan.js';
export { type StandingFacts, standingStarts } from './standing-starts.js';
export { type StartWeight, weighStarts } from './weigh-starts.js';
