import { requireThat } from '../errors.js';
import { minimise } from '../statistics/minimise.js';

/** One-step forecasts of a series (each made before its value was seen) and what comes next. */
export interface Smoothed {
  readonly fitted: readonly number[];
  readonly level: number;
  readonly trend: number;
}

/** @throws DomainError `smoothing-out-of-range` */
const requireWeight = (name: string, value: number): void =>
  requireThat(value >= 0 && value <= 1, 'smoothing-out-of-range', `${name} is a weight from 0 to 1, not ${value}.`);

/**
 * Simple exponential smoothing with given weight and start.
 * Source: Hyndman and Athanasopoulos, Forecasting: Principles and Practice, section on simple exponential smoothing.
 */
export function simpleSmoothing(values: readonly number[], alpha: number, start: number): Smoothed {
  requireWeight('Alpha', alpha);
  return holtSmoothing(values, alpha, 0, start, 0);
}

/**
 * Holt's linear trend. `beta` weighs the new slope against the old one (0: the first slope stays).
 * @example holtSmoothing(values, 0.8, 0.2, 15.57, 2.102)
 */
export function holtSmoothing(
  values: readonly number[],
  alpha: number,
  beta: number,
  startLevel: number,
  startTrend: number,
): Smoothed {
  requireWeight('Alpha', alpha);
  requireWeight('Beta', beta);
  let [level, trend] = [startLevel, startTrend];
  const fitted = values.map((value) => {
    const expected = level + trend;
    const next = alpha * value + (1 - alpha) * expected;
    trend = beta * (next - level) + (1 - beta) * trend;
    level = next;
    return expected;
  });
  return { fitted, level, trend };
}

export interface SimpleFit extends Smoothed {
  readonly alpha: number;
  readonly start: number;
  /** Root mean square of the one-step errors. */
  readonly rootMeanSquare: number;
}

/**
 * Weight and start of simple smoothing with the least squared one-step error.
 * @param values at least three
 * @throws DomainError `series-too-short`
 */
export function fitSimpleSmoothing(values: readonly number[]): SimpleFit {
  requireThat(values.length >= 3, 'series-too-short', `A series needs three values or more, not ${values.length}.`);
  const cost = ([logit, start]: readonly number[]) =>
    meanSquare(values, simpleSmoothing(values, weight(logit!), start!).fitted);
  const mean = values.slice(0, 3).reduce((sum, value) => sum + value, 0) / 3;
  const best = minimise(cost, [0, mean], [1, Math.abs(mean) * 0.1 + 1]);
  const [logit, start] = best.at as [number, number];
  const alpha = weight(logit);
  return { ...simpleSmoothing(values, alpha, start), alpha, start, rootMeanSquare: Math.sqrt(best.value) };
}

export interface HoltFit extends Smoothed {
  readonly alpha: number;
  readonly beta: number;
  readonly rootMeanSquare: number;
}

/**
 * Weights and start of Holt's trend with the least squared one-step error.
 * @param values at least five
 * @throws DomainError `series-too-short`
 */
export function fitHolt(values: readonly number[]): HoltFit {
  requireThat(values.length >= 5, 'series-too-short', `A trend needs five values or more, not ${values.length}.`);
  const smooth = ([a, b, level, trend]: readonly number[]) =>
    holtSmoothing(values, weight(a!), weight(b!), level!, trend!);
  const cost = (x: readonly number[]) => meanSquare(values, smooth(x).fitted);
  const trend = (values[4]! - values[0]!) / 4;
  const starts = [
    [0, -2, values[0]! - trend, trend],
    [2, -4, values[0]! - trend, trend],
    [-1, -1, values[0]!, 0],
  ];
  const best = starts
    .map((start) => minimise(cost, start, [0.7, 0.7, Math.abs(trend) + 1, Math.abs(trend) * 0.3 + 0.1]))
    .sort((one, other) => one.value - other.value)[0]!;
  return {
    ...smooth(best.at),
    alpha: weight(best.at[0]!),
    beta: weight(best.at[1]!),
    rootMeanSquare: Math.sqrt(best.value),
  };
}

const weight = (logit: number): number => 1 / (1 + Math.exp(-logit));

const meanSquare = (values: readonly number[], fitted: readonly number[]): number =>
  values.reduce((sum, value, i) => sum + (value - fitted[i]!) ** 2, 0) / values.length;
