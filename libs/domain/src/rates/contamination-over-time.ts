import { type CalendarDay, formatIsoWeek, isoWeek } from '../calendar/calendar-day.js';
import { type RateEwma, rateEwma } from '../contamination/ewma-chart.js';
import { type ChartPoint, type ChartSignal, type RateChart, rateChart } from '../contamination/rate-chart.js';
import type { NotEnoughData } from '../statistics/estimate.js';
import type { LotCell } from './lot-cell.js';

export type RatePeriod = 'week' | 'month';

/** Each period's rate against what is usual, and its running average, which sees a small lasting shift. */
export interface RateOverTime {
  readonly points: readonly ChartPoint[];
  readonly chart: RateChart | NotEnoughData;
  readonly average: RateEwma | NotEnoughData;
  /** In plain words: single periods outside chance, and shifts of the running average. */
  readonly signals: readonly ChartSignal[];
}

/** The newest points are judged against the earlier ones, not against themselves. */
const NEWEST_POINTS = 4;
const FEWEST_BASELINE = 8;

/** The contamination rate by the period lots were made in, in order. Blanks are left out. */
export function rateOverTime(cells: readonly LotCell[], period: RatePeriod): RateOverTime {
  const points = pointsOf(cells, period);
  const baselinePoints = Math.min(points.length, Math.max(FEWEST_BASELINE, points.length - NEWEST_POINTS));
  const chart = rateChart(points, { baselinePoints });
  if (chart.kind !== 'chart') return { points, chart, average: chart, signals: [] };
  const average = rateEwma(points, chart.centre, Math.max(1, chart.sigmaZ));
  const shifts = average.kind === 'chart' ? shiftsOf(average) : [];
  return { points, chart, average, signals: [...chart.signals, ...shifts] };
}

function pointsOf(cells: readonly LotCell[], period: RatePeriod): readonly ChartPoint[] {
  const byLabel = new Map<string, { hits: number; n: number }>();
  for (const { blank, madeOn, contaminated, jars } of cells) {
    if (blank) continue;
    const label = labelOf(madeOn, period);
    const point = byLabel.get(label) ?? { hits: 0, n: 0 };
    point.hits += contaminated;
    point.n += jars;
    byLabel.set(label, point);
  }
  const ordered = [...byLabel].sort(([one], [other]) => (one < other ? -1 : 1));
  return ordered.map(([label, { hits, n }]) => ({ label, hits, n }));
}

const labelOf = (day: CalendarDay, period: RatePeriod): string =>
  period === 'month' ? day.slice(0, 7) : formatIsoWeek(isoWeek(day));

/** One signal per stretch of points beyond the limits, at the point where it began. */
function shiftsOf({ points, centre }: RateEwma): readonly ChartSignal[] {
  return points.flatMap(({ signal, label }, i) => {
    if (signal === null || points[i - 1]?.signal === signal) return [];
    let end = i;
    while (points[end + 1]?.signal === signal) end++;
    const last = points[end]!;
    const until = end === points.length - 1 ? `since ${label}` : `from ${label} to ${last.label}`;
    return [
      {
        label,
        side: signal,
        sentence: `The running average has been ${signal} what chance explains ${until}: ${percent(last.average)} contaminated, where ${percent(centre)} is usual.`,
      },
    ];
  });
}

const percent = (rate: number): string => `${(rate * 100).toFixed(1)} %`;
