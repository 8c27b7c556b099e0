import type { AgeingRates } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { ChartFigure, LegendItem } from '../../ui/chart/ChartFigure.js';
import { FootAxis, MARGIN, stepsThrough, ticksFor, ValueAxis } from '../../ui/chart/chart-frame.js';
import { linearScale } from '../../ui/chart/scale.js';
import { formatCount, formatShare } from '../../ui/format/index.js';

type Curve = Extract<AgeingRates['items'][number]['curve'], { kind: 'curve' }>;

const HEIGHT = 260;

/** The share of chilled jars still alive after so many days in the cold, with its band, as their restarts tell. */
export function SurvivalChart({
  title,
  curve,
  lifeDays,
}: {
  readonly title: string;
  readonly curve: Curve;
  readonly lifeDays: number;
}) {
  return (
    <ChartFigure
      title={title}
      desc={t('rates.ageing.curveDesc', { n: curve.n, events: curve.events, life: Math.round(lifeDays) })}
      height={HEIGHT}
      legend={<Legend />}
    >
      {(width, height) => <Drawing curve={curve} lifeDays={lifeDays} width={width} height={height} />}
    </ChartFigure>
  );
}

function Drawing({
  curve,
  lifeDays,
  width,
  height,
}: {
  readonly curve: Curve;
  readonly lifeDays: number;
  readonly width: number;
  readonly height: number;
}) {
  const longest = Math.max(lifeDays, ...curve.steps.map(({ days }) => days));
  const dayTicks = ticksFor(0, longest, width - MARGIN.left, 80);
  const x = linearScale([0, dayTicks.at(-1)!], [MARGIN.left, width - MARGIN.right]);
  const y = linearScale([0, 1], [height - MARGIN.bottom, MARGIN.top]);
  const known = curve.steps.filter(({ low, high }) => low !== null && high !== null);
  const upper = [[0, 1] as const, ...known.map(({ days, high }) => [days, high!] as const)];
  const lower = [[0, 1] as const, ...known.map(({ days, low }) => [days, low!] as const)];
  const at = (points: readonly (readonly [number, number])[]) =>
    points.map(([day, share]) => [x(day), y(share)] as const);
  return (
    <>
      <ValueAxis ticks={[0, 0.25, 0.5, 0.75, 1]} y={y} width={width} format={formatShare} />
      <path className="chart__band" d={bandBetween(at(upper), at(lower))} />
      <path
        className="chart__line"
        d={stepsThrough(at([[0, 1], ...curve.steps.map(({ days, survival }) => [days, survival] as const)]))}
      />
      <path className="chart__target" d={`M${x(lifeDays)} ${MARGIN.top}V${height - MARGIN.bottom}`} />
      <FootAxis
        ticks={dayTicks.map((tick) => ({ at: tick, key: tick }))}
        x={x}
        height={height}
        format={(day) => t('rates.ageing.day', { day: formatCount(Number(day)) })}
      />
    </>
  );
}

/** The area between two step lines with the same x. */
function bandBetween(
  upper: readonly (readonly [number, number])[],
  lower: readonly (readonly [number, number])[],
): string {
  const back = [...lower].reverse();
  const returning = back.map(([x, y], i) => (i === 0 ? `L${x} ${y}` : `V${y}H${x}`)).join('');
  return `${stepsThrough(upper)}${returning}Z`;
}

function Legend() {
  return (
    <>
      <LegendItem mark={<path className="chart__line" d="M2 4H16V13H32" />}>{t('rates.legend.alive')}</LegendItem>
      <LegendItem mark={<rect className="chart__band" x="2" y="2" width="30" height="14" />}>
        {t('rates.legend.band')}
      </LegendItem>
      <LegendItem mark={<path className="chart__target" d="M17 0V18" />}>{t('rates.legend.life')}</LegendItem>
    </>
  );
}
