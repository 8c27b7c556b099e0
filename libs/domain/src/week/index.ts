export {
  type CoverageKind,
  coverageKind,
  type PlanWeek,
  type Shortage,
  shortGrams,
  weekOfPlan,
} from './week-of-plan.js';
