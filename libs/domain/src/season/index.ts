export { type CalibrationTenth, calibration } from './calibration.js';
export { type ClairvoyantBound, clairvoyantBound } from './clairvoyant.js';
export { type FarmTraits, familyFarm, farmFamily } from './farm-family.js';
export { jarfoldPolicy, policyHorizonDays } from './jarfold-policy.js';
export { liveSeason, type Season, type Statement } from './live-season.js';
export type { Morning, Policy, WantedStart, WeekDecision } from './policy.js';
export { type RuleName, type RuleSetting, ruleNames, rulePolicy, ruleSettings } from './rule-policies.js';
export { type SeasonFarm, type SeasonRun, seasonWeeks, type WorldTurns } from './season-farm.js';
export { type SeasonRunResult, type SeasonTotals, SeasonWorld } from './season-world.js';
