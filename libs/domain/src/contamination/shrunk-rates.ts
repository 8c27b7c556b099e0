import { fitBetaBinomial, type Group } from '../statistics/beta-binomial.js';
import { rateEstimate } from '../statistics/binomial-interval.js';
import { betaQuantile } from '../statistics/distributions.js';
import { type Estimate, type NotEnoughData, requireCount, usualLevel } from '../statistics/estimate.js';

/** Jars of one lot, cycle, mother, room or week, and how many were contaminated. */
export interface KeyedGroup extends Group {
  readonly key: string;
}

/** What is believed of a rate before a group's own jars are counted: as many good and bad jars, in fractions. */
export interface RatePrior {
  readonly contaminatedJars: number;
  readonly cleanJars: number;
  /** Fitted to the farm's own groups, or the published start until they are enough. */
  readonly from: 'own groups' | 'published';
}

export interface ShrunkRate {
  readonly key: string;
  readonly hits: number;
  readonly n: number;
  /** What was counted, with Wilson's interval. */
  readonly observed: Estimate | NotEnoughData;
  /** Drawn toward the farm's rate as far as few jars deserve, with its credible interval. */
  readonly shrunk: Estimate;
}

export interface ShrunkRates {
  readonly prior: RatePrior;
  readonly rates: readonly ShrunkRate[];
}

/** The published start: a mean rate and how many jars of evidence it is worth. */
export interface PublishedRate {
  readonly mean: number;
  readonly jars: number;
}

/** More than this many jars of prior would hide a real difference for years; groups that never differed may ask for it. */
const MOST_PRIOR_JARS = 400;

/**
 * Rates of many groups at once, each drawn toward the farm's own mean as far as its few jars deserve: a lot of 8 with 2
 * lost is no 25 % lot on a 5 % farm. The prior is fitted to the farm's own groups; until five groups differ, the
 * published start is used. Groups of zero jars keep the prior.
 * @throws DomainError `count-out-of-range`
 * Source: Gelman and others, Bayesian Data Analysis, chapter 5 (posterior of 4 in 14: mean 0.223).
 */
export function shrunkRates(groups: readonly KeyedGroup[], published: PublishedRate, level = usualLevel): ShrunkRates {
  for (const { hits, n } of groups) requireCount(hits, n);
  const prior = ratePrior(groups, published);
  return { prior, rates: groups.map((group) => shrink(group, prior, level)) };
}

/** The prior for the farm's groups; see {@link shrunkRates}. */
export function ratePrior(groups: readonly Group[], { mean, jars }: PublishedRate): RatePrior {
  const fit = fitBetaBinomial(groups);
  if (fit.kind !== 'fitted') return { contaminatedJars: mean * jars, cleanJars: (1 - mean) * jars, from: 'published' };
  const scale = Math.min(1, MOST_PRIOR_JARS / (fit.a + fit.b));
  return { contaminatedJars: fit.a * scale, cleanJars: fit.b * scale, from: 'own groups' };
}

function shrink({ key, hits, n }: KeyedGroup, prior: RatePrior, level: number): ShrunkRate {
  const a = prior.contaminatedJars + hits;
  const b = prior.cleanJars + n - hits;
  const tail = (1 - level) / 2;
  const shrunk: Estimate = {
    kind: 'estimate',
    value: a / (a + b),
    low: betaQuantile(tail, a, b),
    high: betaQuantile(1 - tail, a, b),
    level,
    n,
  };
  return { key, hits, n, observed: rateEstimate(hits, n, 'wilson', level), shrunk };
}
