import { niceTicks, type Scale } from './scale.js';

/** The room around the plot of a chart with two axes, CSS pixels. */
export const MARGIN = { top: 12, right: 14, bottom: 34, left: 58 } as const;

export const ticksFor = (low: number, high: number, room: number, each: number): readonly number[] =>
  niceTicks(low, high, Math.max(2, Math.floor(room / each)));

/** Horizontal lines with their values at the left. */
export function ValueAxis({
  ticks,
  y,
  width,
  format,
}: {
  readonly ticks: readonly number[];
  readonly y: Scale;
  readonly width: number;
  readonly format: (value: number) => string;
}) {
  return (
    <>
      {ticks.map((tick) => (
        <g key={tick}>
          <path className="chart__grid" d={`M${MARGIN.left} ${y(tick)}H${width - MARGIN.right}`} />
          <text className="chart__tick" x={MARGIN.left - 8} y={y(tick) + 5} textAnchor="end">
            {format(tick)}
          </text>
        </g>
      ))}
    </>
  );
}

/** Values along the foot. */
export function FootAxis({
  ticks,
  x,
  height,
  format,
}: {
  readonly ticks: readonly { readonly at: number; readonly key: string | number }[];
  readonly x: Scale;
  readonly height: number;
  readonly format: (key: string | number) => string;
}) {
  // The last label would be cut off by the edge of the drawing.
  const anchor = (i: number) => (i === ticks.length - 1 ? 'end' : 'middle');
  return (
    <>
      {ticks.map(({ at, key }, i) => (
        <g key={key}>
          <path className="chart__axis" d={`M${x(at)} ${height - MARGIN.bottom}v5`} />
          <text className="chart__tick" x={x(at)} y={height - 11} textAnchor={anchor(i)}>
            {format(key)}
          </text>
        </g>
      ))}
    </>
  );
}

/** A path through points. */
export const lineThrough = (points: readonly (readonly [number, number])[]): string =>
  points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${round(x)} ${round(y)}`).join('');

/** A path that goes level to the next x and then steps. */
export const stepsThrough = (points: readonly (readonly [number, number])[]): string =>
  points.map(([x, y], i) => (i === 0 ? `M${round(x)} ${round(y)}` : `H${round(x)}V${round(y)}`)).join('');

const round = (value: number): number => Math.round(value * 10) / 10;
