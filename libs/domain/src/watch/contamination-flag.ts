import { addDays, type CalendarDay, dayOfIsoWeek } from '../calendar/calendar-day.js';
import type { Attribution } from '../contamination/attribution/attribute.js';
import type { FactorLevel } from '../contamination/attribution/observed-lot.js';
import type { ChartedPoint, RateChart } from '../contamination/rate-chart.js';
import type { RateOverTime } from '../rates/contamination-over-time.js';
import { chanceOfAtLeast } from '../statistics/beta-binomial.js';
import type { NotEnoughData } from '../statistics/estimate.js';
import type { Flag } from './flag.js';
import { explained } from './shift-explained.js';

/** A farm that has started nothing for so long has no news. */
const NEWS_DAYS = 49;
/** Weeks beyond the limits with no more than so many quiet ones between them are one trouble. */
const QUIET_WEEKS = 2;
/**
 * A single week is called when chance and the farm's own ups and downs give it less often than this. The limits of the
 * chart let through a few more, since counts of few jars lean upwards.
 */
const RARE_WEEK = 0.001;
/** The trouble is over once the newest weeks together are within one sigma of usual again: three within so many days. */
const NEWEST_WEEKS = 3;
const NEWEST_DAYS = 28;

/** A shift of the contamination rate that still goes on. */
export interface ContaminationShift {
  /** The first week beyond the limits, as 2026-W44. */
  readonly label: string;
  /** All weeks beyond the limits. */
  readonly weeks: readonly string[];
  /** The day it most likely began on: a small shift is seen only some weeks after. */
  readonly began: CalendarDay;
  readonly sentence: string;
}

/**
 * The shift of the contamination rate that goes on, or null. The running average takes long to come down again, so that
 * the shift is over when the newest weeks are as usual, not when the average is. It began when the average last stood at
 * the usual rate (Nishina, A comparison of control charts from the viewpoint of change-point estimation, 1992; memory).
 * @param rate by week
 */
export function contaminationShift(
  { chart, average, signals }: RateOverTime,
  asOf: CalendarDay,
): ContaminationShift | null {
  if (chart.kind !== 'chart') return null;
  const averages = average.kind === 'chart' ? average.points : [];
  const weeks = chart.points.map((point, i) => ({
    ...point,
    above: isRare(point, chart) || averages[i]?.signal === 'above',
  }));
  const last = weeks.findLastIndex(({ above }) => above);
  if (last < 0 || dayOfIsoWeek(weeks[last]!.label) < addDays(asOf, -NEWS_DAYS) || !stillUp(weeks, chart)) return null;
  const first = firstOf(weeks, last);
  const label = weeks[first]!.label;
  const began = averages.findLastIndex((point, i) => i < first && point.average <= chart.centre) + 1;
  const own = signals.filter((signal) => signal.side === 'above' && signal.label >= label);
  return {
    label,
    weeks: weeks.slice(first, last + 1).flatMap((week) => (week.above ? [week.label] : [])),
    began: dayOfIsoWeek(weeks[Math.min(first, began)]!.label),
    sentence: own.at(-1)?.sentence ?? `Contamination is above what chance explains since ${label}.`,
  };
}

/**
 * The flag of a shift, with what explains it.
 * @param found of the lots since it began; see {@link causesSince}
 * @param inWords what a level is called within a sentence
 * @param nameOf the code or name of a level alone
 */
export function contaminationFlag(
  { label, weeks, sentence }: ContaminationShift,
  found: Attribution | NotEnoughData,
  inWords: (level: FactorLevel) => string,
  nameOf: (level: FactorLevel) => string,
): Flag {
  const { members, why, action } = explained(found, inWords);
  return {
    ...{ cause: `contamination-shift/${label}`, kind: 'contamination-shift', since: dayOfIsoWeek(label) },
    ...{ what: sentence, why, action, where: members.length === 0 ? weeks : members.map(nameOf) },
  };
}

/** Three sigmas out, and rare also for a group whose jars go bad together as much as this farm's do. */
function isRare({ hits, n, signal }: ChartedPoint, { centre, sigmaZ }: RateChart): boolean {
  if (signal !== 'above') return false;
  const correlation = Math.max(1e-4, (sigmaZ ** 2 - 1) / Math.max(1, n - 1));
  return chanceOfAtLeast(hits, n, centre, 1 / correlation - 1) < RARE_WEEK;
}

interface Week {
  readonly label: string;
  readonly hits: number;
  readonly n: number;
  readonly above: boolean;
}

function stillUp(weeks: readonly Week[], { centre, sigmaZ }: RateChart): boolean {
  const from = addDays(dayOfIsoWeek(weeks.at(-1)!.label), -NEWEST_DAYS);
  const newest = weeks.slice(-NEWEST_WEEKS).filter(({ label }) => dayOfIsoWeek(label) >= from);
  const jars = newest.reduce((sum, { n }) => sum + n, 0);
  const hits = newest.reduce((sum, week) => sum + week.hits, 0);
  return hits / jars > centre + Math.max(1, sigmaZ) * Math.sqrt((centre * (1 - centre)) / jars);
}

/** The week the trouble began in: backwards over weeks beyond the limits, across few quiet ones. */
function firstOf(weeks: readonly Week[], last: number): number {
  let first = last;
  for (let i = last - 1; i >= 0 && first - i <= QUIET_WEEKS + 1; i--) if (weeks[i]!.above) first = i;
  return first;
}
