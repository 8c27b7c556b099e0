export {
  type FarmChance,
  noChance,
  type StrainChance,
  usualChance,
  usualStrainChance,
} from './farm-chance.js';
export { type DrawOptions, type PlanChance, type RunChance, simulatePlan, usualDraws } from './simulate-plan.js';
