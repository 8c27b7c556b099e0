export { type Bearing, bearingOf, harvestAhead, type WaitedForRun } from './bearing.js';
export { biologicalEfficiency, drySubstrateG } from './biological-efficiency.js';
export { efficiencyByGroup, type FinishedRun, type GroupEfficiency, studentMean } from './efficiency-by-group.js';
export { flushShares, usualFlushShares } from './flush-shares.js';
export { type HarvestRun, harvestForecast, type WeekHarvest } from './harvest-forecast.js';
export { type FlushYield, type Picking, type RunYield, runYield } from './run-yield.js';
export { type RateAndOutcome, type RateEffect, spawnRateEffect } from './spawn-rate-effect.js';
