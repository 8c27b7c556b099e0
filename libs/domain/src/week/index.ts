export { type PreparationGrain, preparationGrain, type ToFill } from './preparation-grain.js';
export {
  type CoverageKind,
  coverageKind,
  type PlanWeek,
  type Shortage,
  shortGrams,
  weekOfPlan,
} from './week-of-plan.js';
export { type WeekTotals, weekTotals } from './week-totals.js';
