export * from '../assurance/index.js';
export * from '../season/index.js';
export { checkPlan, type PlanCheck } from './check-plan.js';
export * from './plan.js';
export { type PlanOptions, planSpawn } from './plan-spawn.js';
export { thoroughEffort } from './search-effort.js';
export * from './situation.js';
