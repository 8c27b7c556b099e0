import { ChartFigure } from './ChartFigure.js';
import { linearScale, niceTicks } from './scale.js';

/** One dot with its interval. */
export interface IntervalRow {
  readonly key: string;
  readonly label: string;
  readonly value: number;
  readonly low: number | null;
  readonly high: number | null;
  /** What the dot rests on, written at the end of the row: n = 240. */
  readonly note: string;
  /** A wide pale bar behind the dot: the range of single things, where the interval is that of the middle. */
  readonly band?: readonly [number, number] | null;
  /** Where one starts from: drawn as an open square. */
  readonly start?: number | null;
  /** Drawn in the tone of a warning, with a diamond in place of the dot. */
  readonly standsOut?: boolean;
}

const ROW = 52;
const AXIS = 30;
const EDGE = 14;

/** Dots with intervals under each other on one axis. Each row's name stands above its line, so long names never push. */
export function IntervalRows({
  title,
  desc,
  rows,
  format,
  from,
  reference,
  legend,
}: {
  readonly title: string;
  readonly desc: string;
  readonly rows: readonly IntervalRow[];
  readonly format: (value: number) => string;
  /** Where the axis begins; the smallest value otherwise. */
  readonly from?: number;
  /** A line through all rows, such as the farm's mean. */
  readonly reference?: number | null;
  readonly legend?: React.ReactNode;
}) {
  const values = rows.flatMap(({ value, low, high, band, start }) => [value, low, high, start, ...(band ?? [])]);
  const known = [...values, reference].filter((value): value is number => typeof value === 'number');
  return (
    <ChartFigure title={title} desc={desc} height={rows.length * ROW + AXIS} legend={legend}>
      {(width, height) => {
        const ticks = niceTicks(from ?? Math.min(...known), Math.max(...known), width < 500 ? 3 : 6);
        const x = linearScale([ticks[0]!, ticks.at(-1)!], [EDGE, width - EDGE]);
        return (
          <>
            {ticks.map((tick) => (
              <g key={tick}>
                <path className="chart__grid" d={`M${x(tick)} 0V${height - AXIS}`} />
                <text className="chart__tick" x={x(tick)} y={height - 9} textAnchor={anchorAt(tick, ticks)}>
                  {format(tick)}
                </text>
              </g>
            ))}
            {typeof reference === 'number' && (
              <path className="chart__centre" d={`M${x(reference)} 0V${height - AXIS}`} />
            )}
            {rows.map((row, i) => (
              <Row key={row.key} row={row} y={i * ROW} width={width} x={x} />
            ))}
          </>
        );
      }}
    </ChartFigure>
  );
}

function Row({
  row,
  y,
  width,
  x,
}: {
  readonly row: IntervalRow;
  readonly y: number;
  readonly width: number;
  readonly x: (value: number) => number;
}) {
  const at = y + 36;
  const { value, low, high, band, start } = row;
  return (
    <g>
      <text className="chart__name" x={EDGE} y={y + 18}>
        {row.label}
      </text>
      <text className="chart__note" x={width - EDGE} y={y + 18} textAnchor="end">
        {row.note}
      </text>
      {band && <rect className="chart__band" x={x(band[0])} y={at - 7} width={x(band[1]) - x(band[0])} height="14" />}
      {low !== null && high !== null && (
        <path
          className={row.standsOut ? 'chart__whisker chart__whisker--out' : 'chart__whisker'}
          d={`M${x(low)} ${at}H${x(high)}M${x(low)} ${at - 5}v10M${x(high)} ${at - 5}v10`}
        />
      )}
      {typeof start === 'number' && (
        <rect className="chart__start" x={x(start) - 5} y={at - 5} width="10" height="10" />
      )}
      {row.standsOut ? (
        <path className="chart__out" d={`M${x(value)} ${at - 8}l8 8-8 8-8-8z`} />
      ) : (
        <circle className="chart__dot" cx={x(value)} cy={at} r="5.5" />
      )}
    </g>
  );
}

/** The first and last tick keep their label inside the drawing. */
function anchorAt(tick: number, ticks: readonly number[]): 'start' | 'middle' | 'end' {
  if (tick === ticks[0]) return 'start';
  return tick === ticks.at(-1) ? 'end' : 'middle';
}
