import type { ContaminationRates } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { ChartFigure, LegendItem } from '../../ui/chart/ChartFigure.js';
import { FootAxis, lineThrough, MARGIN, ticksFor, ValueAxis } from '../../ui/chart/chart-frame.js';
import { labelEvery, linearScale } from '../../ui/chart/scale.js';
import { formatShare } from '../../ui/format/index.js';

type OverTime = ContaminationRates['overTime'];
type Chart = Extract<OverTime['chart'], { kind: 'chart' }>;

const HEIGHT = 300;

/** The rate of each period against what chance explains of it: the limits are wide where few jars were made. */
export function RateChart({ chart, average }: { readonly chart: Chart; readonly average: OverTime['average'] }) {
  const above = chart.points.filter(({ signal }) => signal !== null).length;
  return (
    <ChartFigure
      title={t('rates.overTime.title')}
      desc={t('rates.overTime.desc', {
        periods: chart.points.length,
        centre: formatShare(chart.centre),
        signals: above,
      })}
      height={HEIGHT}
      legend={<Legend hasAverage={average.kind === 'chart'} />}
    >
      {(width, height) => <Drawing chart={chart} average={average} width={width} height={height} />}
    </ChartFigure>
  );
}

function Drawing({
  chart,
  average,
  width,
  height,
}: {
  readonly chart: Chart;
  readonly average: OverTime['average'];
  readonly width: number;
  readonly height: number;
}) {
  const { points, centre } = chart;
  const highest = Math.max(...points.map(({ rate, highLimit }) => Math.max(rate, highLimit)));
  const ticks = ticksFor(0, highest, height, 60);
  const y = linearScale([0, ticks.at(-1)!], [height - MARGIN.bottom, MARGIN.top]);
  const bay = (width - MARGIN.left - MARGIN.right) / points.length;
  const x = (index: number) => MARGIN.left + (index + 0.5) * bay;
  const every = labelEvery(points.length, width - MARGIN.left, 112);
  return (
    <>
      <ValueAxis ticks={ticks} y={y} width={width} format={formatShare} />
      {points.map(({ label, lowLimit, highLimit }, i) => (
        <rect
          key={label}
          className="chart__band"
          x={x(i) - bay / 2}
          y={y(highLimit)}
          width={bay + 0.5}
          height={Math.max(0, y(lowLimit) - y(highLimit))}
        />
      ))}
      <path className="chart__centre" d={`M${MARGIN.left} ${y(centre)}H${width - MARGIN.right}`} />
      {average.kind === 'chart' && (
        <path
          className="chart__band-edge"
          d={lineThrough(average.points.map((point, i) => [x(i), y(point.average)]))}
        />
      )}
      <path className="chart__line chart__line--thin" d={lineThrough(points.map(({ rate }, i) => [x(i), y(rate)]))} />
      {points.map(({ label, rate, signal }, i) =>
        signal === null ? (
          <circle key={label} className="chart__dot" cx={x(i)} cy={y(rate)} r={bay < 14 ? 3 : 4.5} />
        ) : (
          <path key={label} className="chart__out" d={`M${x(i)} ${y(rate) - 9}l9 9-9 9-9-9z`} />
        ),
      )}
      <FootAxis
        ticks={points.flatMap(({ label }, i) => ((points.length - 1 - i) % every === 0 ? [{ at: i, key: label }] : []))}
        x={x}
        height={height}
        format={String}
      />
    </>
  );
}

function Legend({ hasAverage }: { readonly hasAverage: boolean }) {
  return (
    <>
      <LegendItem mark={<circle className="chart__dot" cx="17" cy="9" r="5" />}>{t('rates.legend.period')}</LegendItem>
      <LegendItem mark={<rect className="chart__band" x="2" y="2" width="30" height="14" />}>
        {t('rates.legend.limits')}
      </LegendItem>
      <LegendItem mark={<path className="chart__centre" d="M2 9H32" />}>{t('rates.legend.usual')}</LegendItem>
      {hasAverage && (
        <LegendItem mark={<path className="chart__band-edge" d="M2 12C12 2 22 16 32 5" />}>
          {t('rates.legend.average')}
        </LegendItem>
      )}
      <LegendItem mark={<path className="chart__out" d="M17 1l8 8-8 8-8-8z" />}>{t('rates.legend.signal')}</LegendItem>
    </>
  );
}
