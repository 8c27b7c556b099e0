import { requireThat } from '../errors.js';
import { normalQuantile } from './distributions.js';
import { type NotEnoughData, notEnoughData, requireLevel, usualLevel } from './estimate.js';

/** One jar watched for a time: it ended then (`ended`), or was still good when last seen. */
export interface Watched {
  /** Days, 0 or more. */
  readonly days: number;
  readonly ended: boolean;
}

export interface SurvivalStep {
  readonly days: number;
  readonly atRisk: number;
  readonly ended: number;
  /** Share still good after this day. */
  readonly survival: number;
  /** Greenwood's standard error. */
  readonly standardError: number;
  /** Interval on the log(−log) scale, which stays between 0 and 1; null where nothing has ended yet or all has. */
  readonly low: number | null;
  readonly high: number | null;
}

export interface SurvivalCurve {
  readonly kind: 'curve';
  readonly n: number;
  readonly events: number;
  readonly level: number;
  readonly steps: readonly SurvivalStep[];
  /** First day at which at most half are good, or null when it was not reached. */
  readonly medianDays: number | null;
  readonly medianLowDays: number | null;
  readonly medianHighDays: number | null;
  /** Longest time watched. */
  readonly watchedDays: number;
}

/**
 * Share of jars still good after each day, with jars that were used or are still good counted for as long as they were
 * watched (Kaplan and Meier, JASA 53, 1958; Greenwood's variance; interval on the log(−log) scale).
 * @throws DomainError `time-out-of-range`, `level-out-of-range`
 * @example kaplanMeier([{ days: 6, ended: true }, { days: 9, ended: false }])
 */
export function kaplanMeier(watched: readonly Watched[], level: number = usualLevel): SurvivalCurve | NotEnoughData {
  requireLevel(level);
  for (const { days } of watched)
    requireThat(
      days >= 0 && Number.isFinite(days),
      'time-out-of-range',
      `A jar is watched for 0 days or more, not ${days}.`,
    );
  if (watched.length === 0) return notEnoughData(0, 1, 'no jar has been watched');
  const steps = survivalSteps(watched, normalQuantile(1 - (1 - level) / 2));
  return {
    kind: 'curve',
    n: watched.length,
    events: watched.filter(({ ended }) => ended).length,
    level,
    steps,
    medianDays: firstDay(steps, (step) => step.survival),
    medianLowDays: firstDay(steps, (step) => step.low ?? step.survival),
    medianHighDays: firstDay(steps, (step) => step.high ?? step.survival),
    watchedDays: Math.max(...watched.map(({ days }) => days)),
  };
}

function survivalSteps(watched: readonly Watched[], z: number): readonly SurvivalStep[] {
  const order = [...watched].sort((one, other) => one.days - other.days);
  const steps: SurvivalStep[] = [];
  let survival = 1;
  let greenwood = 0;
  for (let first = 0; first < order.length; ) {
    const { days } = order[first]!;
    const atRisk = order.length - first;
    let ended = 0;
    for (; first < order.length && order[first]!.days === days; first++) if (order[first]!.ended) ended++;
    if (ended === 0) continue;
    survival *= 1 - ended / atRisk;
    greenwood += ended / (atRisk * (atRisk - ended));
    steps.push({ days, atRisk, ended, survival, ...spread(survival, greenwood, z) });
  }
  return steps;
}

function spread(survival: number, greenwood: number, z: number): Pick<SurvivalStep, 'standardError' | 'low' | 'high'> {
  if (survival <= 0) return { standardError: 0, low: null, high: null };
  const onScale = (z * Math.sqrt(greenwood)) / Math.log(survival);
  return {
    standardError: survival * Math.sqrt(greenwood),
    low: survival ** Math.exp(-onScale),
    high: survival ** Math.exp(onScale),
  };
}

/** The half is met within a rounding error: 0.5 reached by products of fractions counts. */
const firstDay = (steps: readonly SurvivalStep[], height: (step: SurvivalStep) => number): number | null =>
  steps.find((step) => height(step) <= 0.5 + 1e-12)?.days ?? null;

/** Share still good after a number of days, or null beyond the longest time watched while some are still good. */
export function survivalAt(curve: SurvivalCurve, days: number): number | null {
  const last = curve.steps.at(-1)?.survival ?? 1;
  if (days > curve.watchedDays && last > 0) return null;
  return curve.steps.findLast((step) => step.days <= days)?.survival ?? 1;
}

/**
 * Mean days good up to a limit: the area under the curve (restricted mean), with its standard error.
 * @example restrictedMean(curve, 35).days
 */
export function restrictedMean(
  curve: SurvivalCurve,
  limitDays: number,
): { readonly days: number; readonly standardError: number } {
  const steps = curve.steps.filter((step) => step.days < limitDays);
  const ends = [...steps.slice(1).map((step) => step.days), limitDays];
  const areas = steps.map((step, i) => step.survival * (ends[i]! - step.days));
  const first = steps[0]?.days ?? limitDays;
  let rest = 0;
  let variance = 0;
  for (let i = steps.length - 1; i >= 0; i--) {
    rest += areas[i]!;
    const { atRisk, ended } = steps[i]!;
    if (atRisk > ended) variance += (rest * rest * ended) / (atRisk * (atRisk - ended));
  }
  return { days: first + rest, standardError: Math.sqrt(variance) };
}
