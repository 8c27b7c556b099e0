import { requireThat } from '../errors.js';
import { normalQuantile } from './distributions.js';
import { type Estimate, usualLevel } from './estimate.js';
import { covarianceAt, minimise } from './minimise.js';
import { type Between, jarsIn, requireTime, tallyTimes, weibullLogLikelihood } from './weibull.js';

/**
 * What is believed of a time before the farm has seen any: a published quantile, how far the farm may be from it, and
 * how much jars differ.
 */
export interface WeibullPrior {
  /** Share of jars that have changed by `days`: 0.5 for a usual time, 0.1 for a life that few outlive badly. */
  readonly share: number;
  readonly days: number;
  /** Standard deviation of the farm's own logarithm of days around the published one: 0.25 is within ±50 % for 95 of 100. */
  readonly logDeviation: number;
  /** Weibull shape expected: 8 is a spread of about 15 %, 3 of about 36 %. */
  readonly shape: number;
  readonly shapeLogDeviation: number;
}

export interface WeibullPosterior {
  readonly share: number;
  /** Days by which `share` have changed, with its interval: from the published value to the farm's own as jars are seen. */
  readonly days: Estimate;
  readonly shape: number;
  readonly scaleDays: number;
  /** How many of the jars' worth of knowledge is the farm's own: 0 with none seen, toward 1 with many. */
  readonly ownShare: number;
  readonly n: number;
  readonly events: number;
}

/**
 * Distribution of a time from the published value and the farm's own jars together (penalised maximum likelihood). With
 * no jars it is the published value and its doubt; with many it is what the jars say.
 * @throws DomainError `time-out-of-range`, `prior-out-of-range`
 */
export function weibullPosterior(
  times: readonly Between[],
  prior: WeibullPrior,
  level: number = usualLevel,
): WeibullPosterior {
  times.forEach(requireTime);
  requireThat(
    prior.days > 0 &&
      prior.share > 0 &&
      prior.share < 1 &&
      prior.logDeviation > 0 &&
      prior.shape > 0 &&
      prior.shapeLogDeviation > 0,
    'prior-out-of-range',
    `A published time lies above 0 days with a share between 0 and 1, not ${prior.days} days and ${prior.share}.`,
  );
  const kinds = tallyTimes(times);
  const spread = Math.log(-Math.log1p(-prior.share));
  const scaleOf = (logDays: number, shape: number) => Math.exp(logDays - spread / shape);
  const cost = ([logDays, logShape]: readonly number[]): number => {
    const shape = Math.exp(logShape!);
    const seen = -weibullLogLikelihood(kinds, shape, scaleOf(logDays!, shape));
    const fromDays = (logDays! - Math.log(prior.days)) / prior.logDeviation;
    const fromShape = (logShape! - Math.log(prior.shape)) / prior.shapeLogDeviation;
    return seen + (fromDays * fromDays + fromShape * fromShape) / 2;
  };
  const start = [Math.log(prior.days), Math.log(prior.shape)];
  const [logDays, logShape] = (times.length === 0 ? start : climb(cost, start, times)) as [number, number];
  const covariance = covarianceAt(cost, [logDays, logShape]);
  const deviation = covariance ? Math.min(Math.sqrt(covariance[0]![0]!), prior.logDeviation) : prior.logDeviation;
  const factor = Math.exp(normalQuantile(1 - (1 - level) / 2) * deviation);
  const value = Math.exp(logDays);
  const n = jarsIn(times);
  return {
    share: prior.share,
    days: { kind: 'estimate', value, low: value / factor, high: value * factor, level, n },
    shape: Math.exp(logShape),
    scaleDays: scaleOf(logDays, Math.exp(logShape)),
    ownShare: Math.max(0, 1 - (deviation / prior.logDeviation) ** 2),
    n,
    events: jarsIn(times.filter(({ byDays }) => byDays !== null)),
  };
}

/** From the published value, and from a typical seen time where that value makes the jars seen impossible. */
function climb(
  cost: (x: readonly number[]) => number,
  start: readonly number[],
  times: readonly Between[],
): readonly number[] {
  const typical =
    times.reduce(
      (sum, { afterDays, byDays, count = 1 }) => sum + count * ((afterDays + (byDays ?? afterDays * 1.2)) / 2),
      0,
    ) / jarsIn(times);
  const starts = [start, [Math.log(Math.max(0.1, typical)), 0.7]].filter((from) => Number.isFinite(cost(from)));
  const best = starts.map((from) => minimise(cost, from, [0.1, 0.2])).sort((one, other) => one.value - other.value)[0];
  return best?.at ?? start;
}

/** Days by which a share has changed. */
export const posteriorQuantile = ({ shape, scaleDays }: WeibullPosterior, share: number): number =>
  scaleDays * (-Math.log1p(-share)) ** (1 / shape);
