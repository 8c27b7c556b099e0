import { requireThat } from '../errors.js';
import { logBeta, logChoose } from './distributions.js';
import { type NotEnoughData, notEnoughData, requireCount } from './estimate.js';
import { minimise } from './minimise.js';

/** Hits out of a number of jars that share something: a lot, a cycle, a mother. */
export interface Group {
  readonly hits: number;
  readonly n: number;
  /** How many groups are just like this; 1 when left out. */
  readonly count?: number;
}

/** The same groups with like ones counted together: a farm of thousands of lots has a few dozen kinds. */
export function tallied(groups: readonly Group[]): readonly Required<Group>[] {
  const kinds = new Map<string, { hits: number; n: number; count: number }>();
  for (const { hits, n, count = 1 } of groups) {
    const key = `${hits}/${n}`;
    const kind = kinds.get(key);
    if (kind) kind.count += count;
    else kinds.set(key, { hits, n, count });
  }
  return [...kinds.values()];
}

/** How rates vary between groups: a beta distribution with these shapes. */
export interface BetaShapes {
  readonly a: number;
  readonly b: number;
}

export interface FittedPrior extends BetaShapes {
  readonly kind: 'fitted';
  readonly mean: number;
  /** Correlation between two jars of one group, 1/(a + b + 1). */
  readonly correlation: number;
  /** With the binomial coefficients. */
  readonly logLikelihood: number;
  readonly groups: number;
  readonly jars: number;
}

/**
 * Chance of so many hits or more in a group of n, where groups' rates vary around a mean as a beta distribution worth so
 * many jars does.
 * @param mean 0 to 1; a group of a certain 0 or 1 is no chance at all
 * @throws DomainError `count-out-of-range`
 * @example chanceOfAtLeast(6, 8, 0.1, 20) // 0.0007
 */
export function chanceOfAtLeast(hits: number, n: number, mean: number, worthJars: number): number {
  requireCount(hits, n);
  if (hits === 0 || mean >= 1) return 1;
  if (mean <= 0) return 0;
  const shapes = { a: mean * worthJars, b: (1 - mean) * worthJars };
  let chance = 0;
  for (let k = hits; k <= n; k++) chance += Math.exp(betaBinomialLogLikelihood([{ hits: k, n }], shapes));
  return Math.min(1, chance);
}

const FEWEST_GROUPS = 5;
/** Beyond this the groups vary no more than chance; the fit would run away along a ridge. */
const MOST_JARS_OF_PRIOR = 1e6;

/** Logarithm of the probability of these groups when rates vary as the beta distribution says. */
export function betaBinomialLogLikelihood(groups: readonly Group[], { a, b }: BetaShapes): number {
  const base = logBeta(a, b);
  return groups.reduce(
    (sum, { hits, n, count = 1 }) => sum + count * (logChoose(n, hits) + logBeta(a + hits, b + n - hits) - base),
    0,
  );
}

/**
 * The farm's own prior: the beta distribution of rates between groups, by maximum likelihood. Groups of zero are passed
 * over. Fewer than five groups, or no hit or only hits, are not enough to tell how rates vary.
 * @throws DomainError `count-out-of-range`
 * Source: Gelman and others, Bayesian Data Analysis, chapter 5; checked on its 71 groups of rats.
 */
export function fitBetaBinomial(groups: readonly Group[]): FittedPrior | NotEnoughData {
  const counted = groups.filter(({ hits, n }) => {
    requireCount(hits, n);
    return n > 0;
  });
  const hits = counted.reduce((sum, group) => sum + group.hits, 0);
  const jars = counted.reduce((sum, group) => sum + group.n, 0);
  if (counted.length < FEWEST_GROUPS)
    return notEnoughData(counted.length, FEWEST_GROUPS, 'too few groups to see how rates vary between them');
  if (hits === 0 || hits === jars)
    return notEnoughData(counted.length, FEWEST_GROUPS, 'every jar ended alike, so nothing shows how rates vary');
  return fitted(tallied(counted), counted.length, jars, startOf(counted));
}

function fitted(kinds: readonly Group[], groups: number, jars: number, start: BetaShapes): FittedPrior | NotEnoughData {
  const shapes = ([logit, logTotal]: readonly number[]): BetaShapes => {
    const mean = 1 / (1 + Math.exp(-logit!));
    const total = Math.exp(logTotal!);
    return { a: mean * total, b: (1 - mean) * total };
  };
  const cost = (x: readonly number[]): number => {
    const { a, b } = shapes(x);
    const inBounds = a > 1e-6 && b > 1e-6 && a + b < MOST_JARS_OF_PRIOR;
    return inBounds ? -betaBinomialLogLikelihood(kinds, { a, b }) : Number.POSITIVE_INFINITY;
  };
  const { a, b } = start;
  const best = minimise(cost, [Math.log(a / b), Math.log(a + b)], [0.3, 0.5]);
  const { a: fitA, b: fitB } = shapes(best.at);
  if (!Number.isFinite(best.value)) return notEnoughData(groups, groups + 1, 'no beta distribution fits such groups');
  return {
    kind: 'fitted',
    a: fitA,
    b: fitB,
    mean: fitA / (fitA + fitB),
    correlation: 1 / (fitA + fitB + 1),
    logLikelihood: -best.value,
    groups,
    jars,
  };
}

/**
 * Shapes by moments of the observed rates, as Bayesian Data Analysis starts: good enough as a first guess, and printed
 * there for 70 groups of rats (mean 0.1360, deviation 0.1035: shapes 1.356 and 8.615).
 * @throws DomainError `groups-all-alike` when the rates do not vary.
 */
export function momentShapes(groups: readonly Group[]): BetaShapes {
  const rates = groups.map(({ hits, n }) => hits / n);
  const mean = rates.reduce((sum, rate) => sum + rate, 0) / rates.length;
  const variance = rates.reduce((sum, rate) => sum + (rate - mean) ** 2, 0) / (rates.length - 1);
  requireThat(
    variance > 0 && variance < mean * (1 - mean),
    'groups-all-alike',
    `Rates with mean ${mean} and variance ${variance} are not those of a beta distribution.`,
  );
  const total = (mean * (1 - mean)) / variance - 1;
  return { a: mean * total, b: (1 - mean) * total };
}

function startOf(groups: readonly Group[]): BetaShapes {
  const jars = groups.reduce((sum, { n }) => sum + n, 0);
  const mean = (groups.reduce((sum, { hits }) => sum + hits, 0) + 0.5) / (jars + 1);
  return { a: mean * 20, b: (1 - mean) * 20 };
}
