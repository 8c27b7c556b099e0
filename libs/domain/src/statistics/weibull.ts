import { requireThat } from '../errors.js';
import { logGamma, normalQuantile } from './distributions.js';
import { type Interval, type NotEnoughData, notEnoughData, usualLevel } from './estimate.js';
import { covarianceAt, minimise } from './minimise.js';

/**
 * What is known of when something happened to a jar: after `afterDays` and no later than `byDays`; `byDays` is null
 * when it had not happened when last seen (right-censored). Equal ends mean the day is known exactly.
 */
export interface Between {
  readonly afterDays: number;
  readonly byDays: number | null;
  /** How many jars this is known of; 1 when left out. */
  readonly count?: number;
}

/** How many jars a list of times stands for. */
export const jarsIn = (times: readonly Between[]): number => times.reduce((sum, { count = 1 }) => sum + count, 0);

export interface WeibullFit {
  readonly kind: 'fitted';
  /** Above 1: the older, the sooner it ends. */
  readonly shape: number;
  /** Days by which 63 % have ended. */
  readonly scaleDays: number;
  readonly shapeInterval: Interval;
  readonly scaleInterval: Interval;
  readonly meanDays: number;
  readonly deviationDays: number;
  readonly logLikelihood: number;
  readonly n: number;
  readonly events: number;
  /** Covariance of (log shape, log scale), for intervals of quantiles. */
  readonly covariance: readonly (readonly number[])[];
}

/** The same times with like ones counted together: a fit over thousands of jars looks at a few hundred kinds. */
export function tallyTimes(times: readonly Between[]): readonly Between[] {
  const kinds = new Map<string, { afterDays: number; byDays: number | null; count: number }>();
  for (const { afterDays, byDays, count = 1 } of times) {
    const key = `${afterDays}/${byDays}`;
    const kind = kinds.get(key);
    if (kind) kind.count += count;
    else kinds.set(key, { afterDays, byDays, count });
  }
  return [...kinds.values()];
}

const FEWEST_EVENTS = 3;

/**
 * Weibull distribution of times by maximum likelihood, from exact, right-censored and interval-censored times together.
 * Fewer than three events, or events that all say the same, are not enough.
 * @throws DomainError `time-out-of-range` for a negative time or an interval that ends before it begins.
 * Source: NIST/SEMATECH e-Handbook 8.4.1.3 (shape 1.7208, scale 606.5280 for its data).
 * @example weibullFit([{ afterDays: 54, byDays: 54 }, …, { afterDays: 500, byDays: null }])
 */
export function weibullFit(times: readonly Between[], level: number = usualLevel): WeibullFit | NotEnoughData {
  times.forEach(requireTime);
  const events = jarsIn(times.filter(({ byDays }) => byDays !== null));
  if (events < FEWEST_EVENTS)
    return notEnoughData(events, FEWEST_EVENTS, 'too few jars have ended to see how their times spread');
  const kinds = tallyTimes(times);
  const cost = ([logShape, logScale]: readonly number[]) =>
    -weibullLogLikelihood(kinds, Math.exp(logShape!), Math.exp(logScale!));
  const middle = ({ afterDays, byDays, count = 1 }: Between) =>
    count * Math.max(1e-3, byDays === null ? afterDays : (afterDays + byDays) / 2);
  const typical = times.reduce((sum, time) => sum + middle(time), 0) / jarsIn(times);
  const best = minimise(cost, [0, Math.log(typical)], [0.3, 0.3]);
  const covariance = Number.isFinite(best.value) && best.at[0]! < 4 ? covarianceAt(cost, best.at) : null;
  if (!covariance) return notEnoughData(events, events + 2, 'the times are all alike, so their spread cannot be told');
  return describeFit(best.at, covariance, -best.value, jarsIn(times), events, level);
}

function describeFit(
  [logShape, logScale]: readonly number[],
  covariance: readonly (readonly number[])[],
  logLikelihood: number,
  n: number,
  events: number,
  level: number,
): WeibullFit {
  const shape = Math.exp(logShape!);
  const scaleDays = Math.exp(logScale!);
  const z = normalQuantile(1 - (1 - level) / 2);
  const around = (value: number, i: number): Interval => {
    const factor = Math.exp(z * Math.sqrt(covariance[i]![i]!));
    return { low: value / factor, high: value * factor, level };
  };
  const first = Math.exp(logGamma(1 + 1 / shape));
  const second = Math.exp(logGamma(1 + 2 / shape));
  return {
    kind: 'fitted',
    shape,
    scaleDays,
    shapeInterval: around(shape, 0),
    scaleInterval: around(scaleDays, 1),
    meanDays: scaleDays * first,
    deviationDays: scaleDays * Math.sqrt(second - first * first),
    logLikelihood,
    n,
    events,
    covariance,
  };
}

/** Share that has not ended after a time. */
export const weibullSurvival = (days: number, shape: number, scaleDays: number): number =>
  days <= 0 ? 1 : Math.exp(-((days / scaleDays) ** shape));

/** Days by which a share has ended, with its interval from the fit's covariance (on the log scale). */
export function weibullQuantile(
  fit: WeibullFit,
  share: number,
  level: number = usualLevel,
): Interval & { readonly days: number } {
  requireThat(share > 0 && share < 1, 'probability-out-of-range', `A share lies between 0 and 1, not ${share}.`);
  const log = Math.log(-Math.log1p(-share));
  const days = fit.scaleDays * Math.exp(log / fit.shape);
  const byShape = -log / fit.shape;
  const [[varShape, both], [, varScale]] = fit.covariance as [[number, number], [number, number]];
  const variance = byShape * byShape * varShape + 2 * byShape * both + varScale;
  const factor = Math.exp(normalQuantile(1 - (1 - level) / 2) * Math.sqrt(Math.max(0, variance)));
  return { days, low: days / factor, high: days * factor, level };
}

/** Logarithm of the probability of these times. Minus infinity where they cannot be. */
export function weibullLogLikelihood(times: readonly Between[], shape: number, scale: number): number {
  let sum = 0;
  for (const { afterDays, byDays, count = 1 } of times) {
    if (byDays === null) sum -= count * (afterDays / scale) ** shape;
    else if (byDays === afterDays)
      sum += count * (Math.log(shape / scale) + (shape - 1) * Math.log(byDays / scale) - (byDays / scale) ** shape);
    else {
      const before = (afterDays / scale) ** shape;
      // log(S(a) − S(b)), with the common factor S(a) taken out so that far tails keep their digits.
      sum += count * (-before + Math.log(-Math.expm1(before - (byDays / scale) ** shape)));
    }
  }
  return Number.isNaN(sum) ? Number.NEGATIVE_INFINITY : sum;
}

/** @throws DomainError `time-out-of-range` */
export function requireTime({ afterDays, byDays, count = 1 }: Between): void {
  const sound =
    afterDays >= 0 && Number.isFinite(afterDays) && (byDays === null || (byDays >= afterDays && byDays > 0));
  requireThat(
    sound && byDays !== Number.POSITIVE_INFINITY && Number.isInteger(count) && count > 0,
    'time-out-of-range',
    `A time lies after 0 days or more and ends no earlier than it begins: after ${afterDays}, by ${byDays}.`,
  );
}
