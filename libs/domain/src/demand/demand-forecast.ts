import { requireThat } from '../errors.js';
import { normalQuantile } from '../statistics/distributions.js';
import { type Estimate, type NotEnoughData, notEnoughData, usualLevel } from '../statistics/estimate.js';
import { croston, tsb } from './intermittent.js';
import { holtSmoothing, simpleSmoothing } from './smoothing.js';

export type ForecastMethod = 'mean' | 'last' | 'simple' | 'trend' | 'intermittent' | 'fading';

export interface DemandForecast {
  readonly kind: 'forecast';
  readonly method: ForecastMethod;
  /** Expected grams for each week ahead, with interval; n is the weeks of history. */
  readonly weeks: readonly Estimate[];
  /** Mean absolute one-step error of every method over the weeks tried, smallest first. */
  readonly tried: readonly { readonly method: ForecastMethod; readonly meanAbsoluteError: number }[];
}

const FEWEST_WEEKS = 8;
/** Weeks of history before the first forecast that is scored. */
const WARM_UP = 5;

type Forecaster = (history: readonly number[], ahead: number) => number;

const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

const methods: Readonly<Record<ForecastMethod, Forecaster>> = {
  mean: (history) => meanOf(history),
  last: (history) => history.at(-1)!,
  simple: (history) => simpleSmoothing(history, 0.3, meanOf(history.slice(0, 3))).level,
  trend: (history, ahead) => {
    const { level, trend } = holtSmoothing(history, 0.4, 0.1, history[0]!, (history[3]! - history[0]!) / 3);
    return Math.max(0, level + ahead * trend);
  },
  intermittent: (history) => croston(history, 0.15, 'sba').perPeriod,
  fading: (history) => tsb(history, 0.15, 0.15).perPeriod,
};

/**
 * Grams of spawn wanted per week beyond the planned runs, from the weeks behind (weeks without a run are 0). Six methods
 * forecast each past week from those before it; the one that erred least is used, and its own errors make the interval.
 * Under eight weeks, or with nothing ever wanted, there is not enough.
 * @param history grams per week, oldest first
 * @param ahead weeks to forecast, 1 to 52
 * @throws DomainError `demand-out-of-range`
 */
export function demandForecast(
  history: readonly number[],
  ahead: number,
  level: number = usualLevel,
): DemandForecast | NotEnoughData {
  requireThat(
    Number.isInteger(ahead) && ahead >= 1 && ahead <= 52,
    'demand-out-of-range',
    `A forecast reaches 1 to 52 weeks ahead, not ${ahead}.`,
  );
  for (const value of history)
    requireThat(
      value >= 0 && Number.isFinite(value),
      'demand-out-of-range',
      `A week's demand is 0 g or more, not ${value}.`,
    );
  if (history.length < FEWEST_WEEKS)
    return notEnoughData(history.length, FEWEST_WEEKS, 'too few weeks of runs to look ahead from');
  if (history.every((value) => value === 0)) return notEnoughData(0, 1, 'no run has ever been made');
  const tried = (Object.keys(methods) as ForecastMethod[])
    .map((method) => ({ method, meanAbsoluteError: meanOf(errorsOf(history, methods[method], 1).map(Math.abs)) }))
    .sort((one, other) => one.meanAbsoluteError - other.meanAbsoluteError);
  const { method } = tried[0]!;
  const z = normalQuantile(1 - (1 - level) / 2);
  const weeks = Array.from({ length: ahead }, (_, i) => {
    const value = methods[method](history, i + 1);
    const half = z * spreadOf(history, methods[method], i + 1);
    return {
      kind: 'estimate',
      value,
      low: Math.max(0, value - half),
      high: value + half,
      level,
      n: history.length,
    } as const;
  });
  return { kind: 'forecast', method, weeks, tried };
}

/** Errors of forecasting each past week from the weeks before it, a number of weeks ahead. */
function errorsOf(history: readonly number[], forecaster: Forecaster, ahead: number): readonly number[] {
  const errors: number[] = [];
  for (let seen = WARM_UP; seen + ahead <= history.length; seen++)
    errors.push(history[seen + ahead - 1]! - forecaster(history.slice(0, seen), ahead));
  return errors;
}

/** Root mean square error at a distance; from the one-step error, growing, where the history is too short to see it. */
function spreadOf(history: readonly number[], forecaster: Forecaster, ahead: number): number {
  const root = (errors: readonly number[]) =>
    Math.sqrt((meanOf(errors.map((error) => error * error)) * (errors.length + 1)) / errors.length);
  const far = errorsOf(history, forecaster, ahead);
  const near = root(errorsOf(history, forecaster, 1));
  return far.length >= 5 ? Math.max(root(far), near) : near * Math.sqrt(1 + 0.3 * (ahead - 1));
}

/**
 * Mean absolute scaled error: below 1 is better than repeating the last value (Hyndman and Koehler 2006).
 * @throws DomainError `series-too-short` when the training values are fewer than two or never change
 */
export function meanAbsoluteScaledError(
  training: readonly number[],
  actual: readonly number[],
  forecast: readonly number[],
): number {
  requireThat(
    training.length >= 2 && actual.length > 0 && actual.length === forecast.length,
    'series-too-short',
    'An error is scaled by two training values or more, with a forecast for each actual one.',
  );
  const scale = meanOf(training.slice(1).map((value, i) => Math.abs(value - training[i]!)));
  requireThat(scale > 0, 'series-too-short', 'The training values never change, so nothing scales the error.');
  return meanOf(actual.map((value, i) => Math.abs(value - forecast[i]!))) / scale;
}
