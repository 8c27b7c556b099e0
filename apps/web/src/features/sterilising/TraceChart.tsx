import type { CycleDetail } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { ChartFigure, LegendItem } from '../../ui/chart/ChartFigure.js';
import { FootAxis, lineThrough, MARGIN, ticksFor, ValueAxis } from '../../ui/chart/chart-frame.js';
import { linearScale } from '../../ui/chart/scale.js';
import { formatCount, formatTemperature } from '../../ui/format/index.js';
import { formatF0 } from './format-f0.js';
import { thinned } from './thinned.js';

type Trace = NonNullable<CycleDetail['trace']>;

const HEIGHT = 320;
const MOST_DRAWN = 1200;

/** Temperature in the load against time, the method's own temperature as a line, and the hold shaded. */
export function TraceChart({
  trace,
  target,
  f0Min,
}: {
  readonly trace: Trace;
  readonly target: CycleDetail['target'];
  readonly f0Min: number | null;
}) {
  const minutes = trace.points.at(-1)!.minute;
  return (
    <ChartFigure
      title={t('cycle.trace.title')}
      desc={t('cycle.trace.desc', {
        minutes: Math.round(minutes),
        highest: formatTemperature(trace.highestC),
        hot: Math.round(trace.hot.reduce((sum, { fromMin, toMin }) => sum + toMin - fromMin, 0)),
        f0: f0Min === null ? '–' : formatF0(f0Min),
      })}
      height={HEIGHT}
      legend={<Legend target={target} />}
    >
      {(width, height) => <Drawing trace={trace} target={target} width={width} height={height} />}
    </ChartFigure>
  );
}

function Drawing({
  trace: { points, hot, highestC },
  target,
  width,
  height,
}: {
  readonly trace: Trace;
  readonly target: CycleDetail['target'];
  readonly width: number;
  readonly height: number;
}) {
  const lowest = Math.min(...points.map(({ temperatureC }) => temperatureC));
  const valueTicks = ticksFor(Math.min(lowest, 20), Math.max(highestC, target?.temperatureC ?? 0), height, 45);
  const minuteTicks = ticksFor(0, points.at(-1)!.minute, width - MARGIN.left, 85);
  const x = linearScale([0, minuteTicks.at(-1)!], [MARGIN.left, width - MARGIN.right]);
  const y = linearScale([valueTicks[0]!, valueTicks.at(-1)!], [height - MARGIN.bottom, MARGIN.top]);
  return (
    <>
      {hot.map(({ fromMin, toMin }) => (
        <rect
          key={fromMin}
          className="chart__hot"
          x={x(fromMin)}
          y={MARGIN.top}
          width={Math.max(1, x(toMin) - x(fromMin))}
          height={height - MARGIN.top - MARGIN.bottom}
        />
      ))}
      <ValueAxis ticks={valueTicks} y={y} width={width} format={formatTemperature} />
      {target && (
        <path className="chart__target" d={`M${MARGIN.left} ${y(target.temperatureC)}H${width - MARGIN.right}`} />
      )}
      <path
        className="chart__line"
        d={lineThrough(thinned(points, MOST_DRAWN).map(({ minute, temperatureC }) => [x(minute), y(temperatureC)]))}
      />
      <FootAxis
        ticks={minuteTicks.map((tick) => ({ at: tick, key: tick }))}
        x={x}
        height={height}
        format={(minute) => t('format.minutes', { minutes: formatCount(Number(minute)) })}
      />
    </>
  );
}

function Legend({ target }: { readonly target: CycleDetail['target'] }) {
  return (
    <>
      <LegendItem mark={<path className="chart__line" d="M2 14L12 5L32 5" />}>{t('cycle.legend.load')}</LegendItem>
      {target && (
        <LegendItem mark={<path className="chart__target" d="M2 9H32" />}>
          {t('cycle.legend.target', { temperature: formatTemperature(target.temperatureC) })}
        </LegendItem>
      )}
      <LegendItem mark={<rect className="chart__hot" x="2" y="2" width="30" height="14" />}>
        {t('cycle.legend.hot')}
      </LegendItem>
    </>
  );
}
