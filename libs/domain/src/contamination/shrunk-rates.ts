import {
  type BetaShapes,
  betaBinomialLogLikelihood,
  fitBetaBinomial,
  type Group,
  tallied,
} from '../statistics/beta-binomial.js';
import { rateEstimate } from '../statistics/binomial-interval.js';
import { betaCdf } from '../statistics/distributions.js';
import { type Estimate, type NotEnoughData, requireCount, usualLevel } from '../statistics/estimate.js';

/** Jars of one lot, cycle, mother, room or week, and how many were contaminated. */
export interface KeyedGroup extends Group {
  readonly key: string;
}

/** One guess at how rates vary between groups, with how well it agrees with the farm's records. */
export interface WeightedShapes extends BetaShapes {
  readonly weight: number;
}

/** What is believed of a rate before a group's own jars are counted. */
export interface RatePrior {
  readonly mean: number;
  /** How many jars of evidence it is worth, on average over the guesses. */
  readonly jars: number;
  /** Fitted to the farm's own groups, or the published start until they are enough. */
  readonly from: 'own groups' | 'published';
  readonly guesses: readonly WeightedShapes[];
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

/** How many jars the prior may be worth, tried in steps of a factor: from very uneven groups to all but equal ones. */
const WORTHS = Array.from({ length: 12 }, (_, k) => 2 ** (0.75 * k + 0.75));

/**
 * Rates of many groups at once, each drawn toward the farm's own mean as far as its few jars deserve: a lot of 8 with 2
 * lost is no 25 % lot on a 5 % farm. How unevenly rates vary is learnt from the farm's own groups, and that it is not
 * known exactly widens the intervals. Until five groups differ, the published start is used. Groups of zero jars keep
 * the prior.
 * @throws DomainError `count-out-of-range`
 * Source: Gelman and others, Bayesian Data Analysis, chapter 5, with its prior (a + b)^(−5/2).
 */
export function shrunkRates(groups: readonly KeyedGroup[], published: PublishedRate, level = usualLevel): ShrunkRates {
  for (const { hits, n } of groups) requireCount(hits, n);
  const prior = ratePrior(groups, published);
  const seen = new Map<string, Estimate>();
  const rates = groups.map(({ key, hits, n }) => {
    const alike = `${hits}/${n}`;
    const shrunk = seen.get(alike) ?? shrink({ hits, n }, prior, level);
    seen.set(alike, shrunk);
    return { key, hits, n, observed: rateEstimate(hits, n, 'wilson', level), shrunk };
  });
  return { prior, rates };
}

/** The prior for the farm's groups; see {@link shrunkRates}. */
export function ratePrior(groups: readonly Group[], { mean, jars }: PublishedRate): RatePrior {
  const fit = fitBetaBinomial(groups);
  if (fit.kind !== 'fitted')
    return { mean, jars, from: 'published', guesses: [{ a: mean * jars, b: (1 - mean) * jars, weight: 1 }] };
  const counted = tallied(groups.filter(({ n }) => n > 0));
  const tried = WORTHS.map((worth) => {
    const shapes = { a: fit.mean * worth, b: (1 - fit.mean) * worth };
    return { ...shapes, log: betaBinomialLogLikelihood(counted, shapes) - 0.5 * Math.log(worth) };
  });
  const best = Math.max(...tried.map(({ log }) => log));
  const total = tried.reduce((sum, { log }) => sum + Math.exp(log - best), 0);
  const guesses = tried
    .map(({ a, b, log }) => ({ a, b, weight: Math.exp(log - best) / total }))
    .filter(({ weight }) => weight > 1e-4);
  const worth = Math.exp(guesses.reduce((sum, { a, b, weight }) => sum + weight * Math.log(a + b), 0));
  return { mean: fit.mean, jars: worth, from: 'own groups', guesses };
}

/** The group's rate given its jars: the guesses' posteriors, weighted. */
function shrink({ hits, n }: Group, { guesses }: RatePrior, level: number): Estimate {
  const posteriors = guesses.map(({ a, b, weight }) => ({ a: a + hits, b: b + n - hits, weight }));
  const total = posteriors.reduce((sum, { weight }) => sum + weight, 0);
  const below = (rate: number) =>
    posteriors.reduce((sum, { a, b, weight }) => sum + weight * betaCdf(rate, a, b), 0) / total;
  const tail = (1 - level) / 2;
  return {
    kind: 'estimate',
    value: posteriors.reduce((sum, { a, b, weight }) => sum + (weight * a) / (a + b), 0) / total,
    low: crossing(below, tail),
    high: crossing(below, 1 - tail),
    level,
    n,
  };
}

/** Where a rising function of a rate reaches a value, by halving. */
function crossing(rising: (rate: number) => number, value: number): number {
  let [low, high] = [0, 1];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (rising(middle) < value) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
