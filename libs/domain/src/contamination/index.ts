export { type Attribution, type AttributionOptions, attribute, type Cause } from './attribution/attribute.js';
export { causeSentence } from './attribution/cause-sentence.js';
export type { LevelReport, Verdict } from './attribution/level-report.js';
export type { FactorLevel, Factors, ObservedBlank, ObservedLot } from './attribution/observed-lot.js';
export { checksToFind } from './checks-to-find.js';
export {
  type ContaminationHazard,
  contaminationHazard,
  type HazardBand,
  remainingRisk,
  type WatchedJar,
} from './contamination-hazard.js';
export { binomialSlack, type CusumPoint, type CusumSettings, cusum } from './cusum-chart.js';
export { type EwmaPoint, type EwmaSettings, ewma, type RateEwma, rateEwma, usualEwma } from './ewma-chart.js';
export {
  type ChartedPoint,
  type ChartPoint,
  type ChartSignal,
  type RateChart,
  type RateChartOptions,
  rateChart,
} from './rate-chart.js';
export { type RunRule, type RunSignal, runRules, runSignals } from './run-rules.js';
export {
  type AcceptableLimit,
  acceptableLimits,
  chanceTaken,
  type RiskPoint,
  type SamplingPlan,
  type StandardPlan,
  smallestPlan,
  standardPlan,
} from './sampling-plan.js';
export {
  type KeyedGroup,
  type PublishedRate,
  type RatePrior,
  ratePrior,
  type ShrunkRate,
  type ShrunkRates,
  shrunkRates,
  type WeightedShapes,
} from './shrunk-rates.js';
