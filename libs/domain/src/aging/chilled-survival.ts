import { requireThat } from '../errors.js';
import { type Estimate, type NotEnoughData, usualLevel } from '../statistics/estimate.js';
import { kaplanMeier, type SurvivalCurve } from '../statistics/kaplan-meier.js';
import type { Between } from '../statistics/weibull.js';
import { type WeibullPosterior, weibullPosterior } from '../statistics/weibull-posterior.js';

/** A chilled jar warmed and tried after some days in the cold: did it grow again? */
export interface Restart {
  readonly daysChilled: number;
  readonly regrew: boolean;
}

export interface ChilledSurvival {
  /** Kaplan–Meier with the day a jar was found dead taken for the day it died; the truth is somewhat earlier. */
  readonly curve: SurvivalCurve | NotEnoughData;
  /** Fitted with a dead jar known only to have died by the day it was tried. */
  readonly fit: WeibullPosterior;
  /** Days by which one in ten has died: what the farm may count on, with interval; near the published life while few were tried. */
  readonly lifeDays: Estimate;
}

/** A farm's own life may well be half or twice the published one. */
const LIFE_DEVIATION = 0.35;
const DEATH_SHAPE = 3;

/**
 * How long chilled jars of a strain stay good, from the farm's own restarts and the published days.
 * @param publishedDays days the species keeps in the cold, above 0
 * @throws DomainError `time-out-of-range`, `prior-out-of-range`
 */
export function chilledSurvival(
  restarts: readonly Restart[],
  publishedDays: number,
  level: number = usualLevel,
): ChilledSurvival {
  for (const { daysChilled } of restarts)
    requireThat(
      daysChilled >= 0 && Number.isFinite(daysChilled),
      'time-out-of-range',
      `A jar is chilled for 0 days or more, not ${daysChilled}.`,
    );
  const times = restarts.map(
    ({ daysChilled, regrew }): Between =>
      regrew ? { afterDays: daysChilled, byDays: null } : { afterDays: 0, byDays: Math.max(daysChilled, 0.5) },
  );
  const prior = {
    share: 0.1,
    days: publishedDays,
    logDeviation: LIFE_DEVIATION,
    shape: DEATH_SHAPE,
    shapeLogDeviation: 0.4,
  };
  const fit = weibullPosterior(times, prior, level);
  const curve = kaplanMeier(
    restarts.map(({ daysChilled, regrew }) => ({ days: daysChilled, ended: !regrew })),
    level,
  );
  return { curve, fit, lifeDays: fit.days };
}

/** Share of chilled jars still good after some days, by the fit. */
export const chilledShareGood = ({ fit }: ChilledSurvival, days: number): number =>
  days <= 0 ? 1 : Math.exp(-((days / fit.scaleDays) ** fit.shape));

export interface DaysLeft {
  /** Whole days it can still wait; 0: use it now. */
  readonly days: number;
  readonly low: number;
  readonly high: number;
  readonly n: number;
}

/**
 * Days a chilled jar that looks good can still wait, with the interval of the life it rests on.
 * @param daysChilled so far, 0 or more
 */
export function daysLeft({ lifeDays }: ChilledSurvival, daysChilled: number): DaysLeft {
  requireThat(daysChilled >= 0, 'time-out-of-range', `A jar is chilled for 0 days or more, not ${daysChilled}.`);
  const left = (life: number) => Math.max(0, Math.floor(life - daysChilled + 1e-6));
  return { days: left(lifeDays.value), low: left(lifeDays.low), high: left(lifeDays.high), n: lifeDays.n };
}
