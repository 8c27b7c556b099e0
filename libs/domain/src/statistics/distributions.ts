import jstat from 'jstat';
import { requireThat } from '../errors.js';

/**
 * The distribution functions Jarfold uses, all from jstat (checked against cephes over a grid of inputs: absolute error
 * below 1e-7). This is the only file that imports it.
 */
const { jStat } = jstat;

export const logGamma = (x: number): number => jStat.gammaln(x);

export const logBeta = (a: number, b: number): number => logGamma(a) + logGamma(b) - logGamma(a + b);

/** Natural logarithm of the number of ways to choose k of n. */
export const logChoose = (n: number, k: number): number => logGamma(n + 1) - logGamma(k + 1) - logGamma(n - k + 1);

/** Quantile of the standard normal distribution, 0 < p < 1. `normalQuantile(0.975)` is 1.959964. */
export function normalQuantile(p: number): number {
  requireProbability(p);
  return jStat.normal.inv(p, 0, 1);
}

export const normalCdf = (z: number): number => jStat.normal.cdf(z, 0, 1);

export const normalDensity = (z: number): number => Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);

/** Quantile of the beta distribution, both shapes above 0. */
export function betaQuantile(p: number, a: number, b: number): number {
  if (p <= 0) return 0;
  return p >= 1 ? 1 : jStat.beta.inv(p, a, b);
}

export function betaCdf(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  return x >= 1 ? 1 : jStat.beta.cdf(x, a, b);
}

/** Share of a gamma distribution (shape, scale) below x. */
export const gammaCdf = (x: number, shape: number, scale: number): number =>
  x <= 0 ? 0 : jStat.gamma.cdf(x, shape, scale);

export const gammaQuantile = (p: number, shape: number, scale: number): number => jStat.gamma.inv(p, shape, scale);

/** Probability of a chi-square as large or larger. */
export const chiSquareUpper = (x: number, degrees: number): number =>
  x <= 0 ? 1 : Math.max(0, 1 - jStat.chisquare.cdf(x, degrees));

/** Quantile of Student's t. */
export const studentQuantile = (p: number, degrees: number): number => jStat.studentt.inv(p, degrees);

/** Probability of at most k successes in n trials. */
export function binomialCdf(k: number, n: number, p: number): number {
  if (k < 0) return 0;
  return k >= n ? 1 : 1 - betaCdf(p, Math.floor(k) + 1, n - Math.floor(k));
}

export function binomialPmf(k: number, n: number, p: number): number {
  if (k < 0 || k > n || !Number.isInteger(k)) return 0;
  if (p === 0 || p === 1) return Number(k === (p === 0 ? 0 : n));
  return Math.exp(logChoose(n, k) + k * Math.log(p) + (n - k) * Math.log1p(-p));
}

/** Probability of at most k events of a Poisson distribution. */
export const poissonCdf = (k: number, mean: number): number => (k < 0 ? 0 : 1 - gammaCdf(mean, Math.floor(k) + 1, 1));

function requireProbability(p: number): void {
  requireThat(p > 0 && p < 1, 'probability-out-of-range', `A probability lies between 0 and 1, not ${p}.`, {
    value: p,
  });
}
