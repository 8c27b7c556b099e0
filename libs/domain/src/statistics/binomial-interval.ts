import { betaQuantile, binomialCdf, binomialPmf, normalQuantile } from './distributions.js';
import {
  type Estimate,
  estimate,
  type Interval,
  type NotEnoughData,
  notEnoughData,
  requireCount,
  requireLevel,
  usualLevel,
} from './estimate.js';

export type IntervalMethod = 'wilson' | 'clopper-pearson' | 'jeffreys' | 'mid-p' | 'agresti-coull' | 'wilson-corrected';

/**
 * An observed rate with its interval: `wilson` for screens (close to its stated level at every n), `clopper-pearson`
 * where it must never claim too much. Zero cases answer "not enough data".
 * @param hits whole, 0 to n
 * @throws DomainError `count-out-of-range`, `level-out-of-range`
 * Source: Newcombe, Statistics in Medicine 17 (1998) 857–872; Brown, Cai, DasGupta, Statistical Science 16 (2001) 101–133.
 * @example rateEstimate(1, 29) // value 0.0345, 0.0061 to 0.1718
 */
export function rateEstimate(
  hits: number,
  n: number,
  method: IntervalMethod = 'wilson',
  level: number = usualLevel,
): Estimate | NotEnoughData {
  requireCount(hits, n);
  requireLevel(level);
  if (n === 0) return notEnoughData(0, 1, 'nothing has been counted yet');
  return estimate(hits / n, { ...methods[method](hits, n, level), level }, n);
}

type Limits = Omit<Interval, 'level'>;

const methods: Readonly<Record<IntervalMethod, (hits: number, n: number, level: number) => Limits>> = {
  wilson,
  'clopper-pearson': clopperPearson,
  jeffreys,
  'mid-p': midP,
  'agresti-coull': agrestiCoull,
  'wilson-corrected': wilsonCorrected,
};

const criticalValue = (level: number): number => normalQuantile(1 - (1 - level) / 2);

function wilson(hits: number, n: number, level: number): Limits {
  const z2 = criticalValue(level) ** 2;
  const middle = (hits + z2 / 2) / (n + z2);
  const half = Math.sqrt(z2 * ((hits * (n - hits)) / n + z2 / 4)) / (n + z2);
  return { low: hits === 0 ? 0 : middle - half, high: hits === n ? 1 : middle + half };
}

function clopperPearson(hits: number, n: number, level: number): Limits {
  const tail = (1 - level) / 2;
  return {
    low: hits === 0 ? 0 : betaQuantile(tail, hits, n - hits + 1),
    high: hits === n ? 1 : betaQuantile(1 - tail, hits + 1, n - hits),
  };
}

/** The limit at no hits is 0 and at all hits 1, as Brown, Cai and DasGupta set it. */
function jeffreys(hits: number, n: number, level: number): Limits {
  const tail = (1 - level) / 2;
  return {
    low: hits === 0 ? 0 : betaQuantile(tail, hits + 0.5, n - hits + 0.5),
    high: hits === n ? 1 : betaQuantile(1 - tail, hits + 0.5, n - hits + 0.5),
  };
}

/** Clopper–Pearson with half the probability of the observed count taken off each tail. */
function midP(hits: number, n: number, level: number): Limits {
  const tail = (1 - level) / 2;
  const below = (p: number) => binomialCdf(hits, n, p) - binomialPmf(hits, n, p) / 2;
  return {
    low: hits === 0 ? 0 : falling(below, 1 - tail),
    high: hits === n ? 1 : falling(below, tail),
  };
}

/** Where a falling function of a rate crosses a value, by halving: 60 halvings reach the last bit of a double. */
function falling(f: (p: number) => number, value: number): number {
  let low = 0;
  let high = 1;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (f(middle) > value) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function agrestiCoull(hits: number, n: number, level: number): Limits {
  const z = criticalValue(level);
  const total = n + z * z;
  const middle = (hits + (z * z) / 2) / total;
  const half = z * Math.sqrt((middle * (1 - middle)) / total);
  return { low: Math.max(0, middle - half), high: Math.min(1, middle + half) };
}

/** Wilson's interval with the continuity correction (Newcombe 1998, method 4). */
function wilsonCorrected(hits: number, n: number, level: number): Limits {
  const z = criticalValue(level);
  const p = hits / n;
  const q = 1 - p;
  const scale = 2 * (n + z * z);
  const root = (sign: number) => z * Math.sqrt(z * z - sign * 2 - 1 / n + 4 * p * (n * q + sign));
  return {
    low: hits === 0 ? 0 : Math.max(0, (2 * n * p + z * z - 1 - root(1)) / scale),
    high: hits === n ? 1 : Math.min(1, (2 * n * p + z * z + 1 + root(-1)) / scale),
  };
}

/**
 * When none of n was hit: the highest rate that is still plausible at the level, one-sided and exact, 1 − (1 − level)^(1/n).
 * "Rule of three": about 3/n at 95 %.
 * @example highestRateWithoutHits(105) // 0.0281: 0 of 105 spawn samples (Gea et al. 1995)
 */
export function highestRateWithoutHits(n: number, level: number = usualLevel): Estimate | NotEnoughData {
  requireCount(0, n);
  requireLevel(level);
  if (n === 0) return notEnoughData(0, 1, 'nothing has been counted yet');
  return estimate(0, { low: 0, high: 1 - (1 - level) ** (1 / n), level }, n);
}
