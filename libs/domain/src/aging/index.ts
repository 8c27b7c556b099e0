export {
  type ChilledSurvival,
  chilledShareGood,
  chilledSurvival,
  type DaysLeft,
  daysLeft,
  type Restart,
} from './chilled-survival.js';
export { type Allocation, type DatedDemand, firstExpiredFirstOut, type Perishable } from './first-expired-first-out.js';
export { agingQ10, arrheniusRatio, type KeepingTime, keepingTime, meanKineticTemperatureC } from './keeping-time.js';
