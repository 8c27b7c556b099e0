export {
  type DemandForecast,
  demandForecast,
  type ForecastMethod,
  meanAbsoluteScaledError,
} from './demand-forecast.js';
export { expansionChain } from './expansion-chain.js';
export { croston, type IntermittentForecast, tsb } from './intermittent.js';
export { type LotPlan, type LotSizingProblem, silverMeal, wagnerWhitin } from './lot-sizing.js';
export {
  criticalRatio,
  type MarginalCosts,
  type NewsvendorAnswer,
  newsvendor,
  newsvendorPoisson,
  normalLoss,
  poissonStock,
} from './newsvendor.js';
export { orderSize, type Resupply, safetyStock } from './order-size.js';
export { type BearingHabit, type HarvestPlan, type PromisedHarvest, runsForHarvest } from './runs-for-harvest.js';
export {
  fitHolt,
  fitSimpleSmoothing,
  type HoltFit,
  holtSmoothing,
  type SimpleFit,
  type Smoothed,
  simpleSmoothing,
} from './smoothing.js';
export { type RunWanted, type SpawnForRun, spawnForRun, substrateWetG, usualMoistures } from './spawn-for-run.js';
export {
  convertSpawnRate,
  type Moistures,
  type SpawnRateBasis,
  spawnRateBases,
  wetRate,
} from './spawn-rate.js';
export { startsForGood, startsForGoodLot } from './starts-for-good.js';
