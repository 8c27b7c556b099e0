export { coverageByRun, coverageJson } from './coverage.js';
export { acceptedPlan, firstPlanOf, newestPlan, type StoredPlanRow } from './plan.repository.js';
export { type NewestFacts, newestFacts, PLAN_MODEL_VERSION, PlanService } from './plan.service.js';
export { PlanReviewService } from './plan-review.service.js';
export { Planner } from './planner.js';
export { situationFrom } from './situation.mapper.js';
export { drawnByRun, jarsHandedOver } from './situation.repository.js';
