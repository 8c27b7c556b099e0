import type { ReactNode } from 'react';
import { ChartFigure } from '../../ui/chart/ChartFigure.js';
import { FootAxis, MARGIN, ticksFor, ValueAxis } from '../../ui/chart/chart-frame.js';
import { labelEvery, linearScale } from '../../ui/chart/scale.js';
import { formatMass } from '../../ui/format/index.js';

/** One week: a bar, and beside or upon it an expectation with its interval. */
export interface DrawnWeek {
  readonly label: string;
  readonly barG: number | null;
  /** Weeks behind are drawn as grain, weeks ahead as plan. */
  readonly behind?: boolean;
  readonly expected: { readonly value: number; readonly low: number; readonly high: number } | null;
  /** Whether the expectation is the bar's own, so that only its interval is drawn. */
  readonly dot?: boolean;
}

const HEIGHT = 280;
/** Room for `1,250 kg` at the left. */
const LEFT = MARGIN.left + 14;

/** Grams by week as bars, with dots and lines for what is expected. */
export function WeekChart({
  title,
  desc,
  weeks,
  legend,
}: {
  readonly title: string;
  readonly desc: string;
  readonly weeks: readonly DrawnWeek[];
  readonly legend: ReactNode;
}) {
  return (
    <ChartFigure title={title} desc={desc} height={HEIGHT} legend={legend}>
      {(width, height) => <Drawing weeks={weeks} width={width} height={height} />}
    </ChartFigure>
  );
}

function Drawing({
  weeks,
  width,
  height,
}: {
  readonly weeks: readonly DrawnWeek[];
  readonly width: number;
  readonly height: number;
}) {
  const highest = Math.max(1, ...weeks.map(({ barG, expected }) => Math.max(barG ?? 0, expected?.high ?? 0)));
  const ticks = ticksFor(0, highest, height, 60);
  const y = linearScale([0, ticks.at(-1)!], [height - MARGIN.bottom, MARGIN.top]);
  const bay = (width - LEFT - MARGIN.right) / weeks.length;
  const x = (index: number) => LEFT + (index + 0.5) * bay;
  const wide = Math.min(34, bay * 0.66);
  const every = labelEvery(weeks.length, width - LEFT, 130);
  return (
    <>
      <ValueAxis ticks={ticks} y={y} width={width} format={formatMass} />
      {weeks.map(({ label, barG, behind = false }, i) =>
        barG === null || barG <= 0 ? null : (
          <rect
            key={label}
            className={behind ? 'week-bar week-bar--behind' : 'week-bar'}
            x={x(i) - wide / 2}
            y={y(barG)}
            width={wide}
            height={Math.max(1, y(0) - y(barG))}
          />
        ),
      )}
      {weeks.map(({ label, expected, dot = false }, i) =>
        expected === null || expected.high <= 0 ? null : (
          <g key={label}>
            <path
              className="chart__whisker"
              d={`M${x(i)} ${y(expected.low)}V${y(expected.high)}M${x(i) - 5} ${y(expected.low)}h10M${x(i) - 5} ${y(expected.high)}h10`}
            />
            {dot && <circle className="chart__dot" cx={x(i)} cy={y(expected.value)} r="4.5" />}
          </g>
        ),
      )}
      <FootAxis
        ticks={weeks.flatMap(({ label }, i) => ((weeks.length - 1 - i) % every === 0 ? [{ at: i, key: label }] : []))}
        x={x}
        height={height}
        format={String}
      />
    </>
  );
}

/** A bar as the legend shows it. */
export const BarMark = ({ behind = false }: { readonly behind?: boolean }) => (
  <rect className={behind ? 'week-bar week-bar--behind' : 'week-bar'} x="10" y="2" width="14" height="14" />
);

/** An interval as the legend shows it. */
export const IntervalMark = ({ dot = false }: { readonly dot?: boolean }) => (
  <>
    <path className="chart__whisker" d="M17 1V17M12 1h10M12 17h10" />
    {dot && <circle className="chart__dot" cx="17" cy="9" r="4.5" />}
  </>
);
