export {
  type BetaShapes,
  betaBinomialLogLikelihood,
  chanceOfAtLeast,
  type FittedPrior,
  fitBetaBinomial,
  type Group,
  momentShapes,
} from './beta-binomial.js';
export { highestRateWithoutHits, type IntervalMethod, rateEstimate } from './binomial-interval.js';
export {
  betaCdf,
  betaQuantile,
  binomialCdf,
  binomialPmf,
  chiSquareUpper,
  gammaCdf,
  gammaQuantile,
  logBeta,
  logChoose,
  logGamma,
  normalCdf,
  normalDensity,
  normalQuantile,
  poissonCdf,
  studentQuantile,
} from './distributions.js';
export {
  type Estimate,
  type Interval,
  type NotEnoughData,
  notEnoughData,
  requireCount,
  usualLevel,
} from './estimate.js';
export { benjaminiHochberg, bonferroni, hochberg, holm } from './false-discovery.js';
export { type FisherExact, fisherExact, type TwoByTwo } from './fisher-exact.js';
export { chanceHigher } from './higher-rate.js';
export {
  type IntervalCensored,
  intervalCensoredDistribution,
  intervalCensoredQuantile,
  type Mass,
} from './interval-censored.js';
export {
  kaplanMeier,
  restrictedMean,
  type SurvivalCurve,
  type SurvivalStep,
  survivalAt,
  type Watched,
} from './kaplan-meier.js';
export { type LogRank, logRank } from './log-rank.js';
export { type LogisticFit, type LogisticRow, logisticRegression, type NotIdentified } from './logistic.js';
export { type SeededRandom, seededRandom } from './seeded-random.js';
export { type MeanGroup, type ShrunkMean, shrunkMeans } from './shrunk-means.js';
export { type Between, type WeibullFit, weibullFit, weibullQuantile, weibullSurvival } from './weibull.js';
export { posteriorQuantile, type WeibullPosterior, type WeibullPrior, weibullPosterior } from './weibull-posterior.js';
