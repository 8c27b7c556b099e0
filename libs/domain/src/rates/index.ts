export {
  type FactorRate,
  type FactorRates,
  factorWords,
  levelOf,
  RATE_FACTORS,
  type RateFactor,
  ratesByFactor,
} from './contamination-by-factor.js';
export { causesSince, contaminationCauses, SHARED_SINCE } from './contamination-causes.js';
export { type RateOverTime, type RatePeriod, rateOverTime } from './contamination-over-time.js';
export { lossForPlan, type PlanValue, ripeDaysForPlan } from './learned-values.js';
export { lossByStrain, lotsLost } from './loss-of-strains.js';
export { type LotCell, SETTLING_DAYS, settledCells } from './lot-cell.js';
export { type RipeningOfStrain, ripeningOfStrain, type SeenRipening } from './ripening-by-strain.js';
export { survivalWhenClean } from './survival-of-growing.js';
export { type BorneRun, type RunOutcome, runOutcome, type StrainYield, yieldOfStrain } from './yield-of-runs.js';
