import { requireThat } from '../errors.js';
import { type NotEnoughData, notEnoughData, requireCount } from '../statistics/estimate.js';

/** Jars of one week (or cycle, or batch) in order, and how many were contaminated. */
export interface ChartPoint {
  readonly label: string;
  readonly hits: number;
  readonly n: number;
}

export interface ChartedPoint extends ChartPoint {
  readonly rate: number;
  readonly lowLimit: number;
  readonly highLimit: number;
  readonly signal: 'above' | 'below' | null;
}

export interface ChartSignal {
  readonly label: string;
  readonly side: 'above' | 'below';
  /** Plain English; screens have their own catalogue. */
  readonly sentence: string;
}

export interface RateChart {
  readonly kind: 'chart';
  readonly method: 'p' | 'laney';
  readonly centre: number;
  /** How much more than chance the rate moves from point to point; 1 is pure chance. */
  readonly sigmaZ: number;
  readonly points: readonly ChartedPoint[];
  readonly signals: readonly ChartSignal[];
  readonly n: number;
}

export interface RateChartOptions {
  /** `laney` widens the limits by what the farm's ordinary weeks vary beyond chance; `p` is pure chance. */
  readonly method?: 'p' | 'laney';
  /** Leading points the limits are drawn from; all of them when left out. */
  readonly baselinePoints?: number;
}

const FEWEST_POINTS = 8;
/** Mean moving range of two standard normal values. */
const MOVING_RANGE = 1.128;

/**
 * Control chart of a rate with varying numbers: three-sigma limits, widened for over-dispersion after Laney (Quality
 * Engineering 14, 2002). Points without jars are left out. Under eight points there is not enough to draw limits.
 * @throws DomainError `count-out-of-range`, `baseline-too-short`
 * Source: NIST/SEMATECH 6.3.3.2; Mohammed and others, BMJ Quality and Safety 22 (2013) 362.
 */
export function rateChart(points: readonly ChartPoint[], options: RateChartOptions = {}): RateChart | NotEnoughData {
  const { method = 'laney', baselinePoints = points.length } = options;
  for (const { hits, n } of points) requireCount(hits, n);
  requireThat(
    Number.isInteger(baselinePoints) && baselinePoints >= 0,
    'baseline-too-short',
    `Limits are drawn from a whole number of leading points, not ${baselinePoints}.`,
  );
  const baseline = points.slice(0, baselinePoints).filter(({ n }) => n > 0);
  const jars = baseline.reduce((sum, { n }) => sum + n, 0);
  const centre = baseline.reduce((sum, { hits }) => sum + hits, 0) / jars;
  if (baseline.length < FEWEST_POINTS)
    return notEnoughData(baseline.length, FEWEST_POINTS, 'too few weeks with jars to say what is usual');
  if (!(centre > 0 && centre < 1))
    return notEnoughData(baseline.length, FEWEST_POINTS, 'every jar ended alike, so nothing shows what chance does');
  const sigmaZ = method === 'laney' ? movingSigma(baseline, centre) : 1;
  const charted = points.filter(({ n }) => n > 0).map((point) => placed(point, centre, sigmaZ));
  return {
    kind: 'chart',
    method,
    centre,
    sigmaZ,
    points: charted,
    signals: charted.flatMap((point) => (point.signal ? [describe(point, point.signal)] : [])),
    n: jars,
  };
}

const chance = (centre: number, n: number): number => Math.sqrt((centre * (1 - centre)) / n);

/** Laney's sigma: the mean jump from one standardised point to the next. Below 1 it is kept, as Laney does. */
function movingSigma(points: readonly ChartPoint[], centre: number): number {
  const z = points.map(({ hits, n }) => (hits / n - centre) / chance(centre, n));
  const jumps = z.slice(1).map((value, i) => Math.abs(value - z[i]!));
  return jumps.reduce((sum, jump) => sum + jump, 0) / jumps.length / MOVING_RANGE;
}

function placed(point: ChartPoint, centre: number, sigmaZ: number): ChartedPoint {
  const half = 3 * sigmaZ * chance(centre, point.n);
  const [lowLimit, highLimit] = [Math.max(0, centre - half), Math.min(1, centre + half)];
  const rate = point.hits / point.n;
  const signal = rate > highLimit ? 'above' : rate < lowLimit ? 'below' : null;
  return { ...point, rate, lowLimit, highLimit, signal };
}

function describe({ label, hits, n, lowLimit, highLimit }: ChartedPoint, side: 'above' | 'below'): ChartSignal {
  const usual = side === 'above' ? `up to ${percent(highLimit)}` : `at least ${percent(lowLimit)}`;
  return {
    label,
    side,
    sentence: `${label} is outside what chance explains: ${hits} of ${n} jars contaminated (${percent(hits / n)}), where ${usual} is usual.`,
  };
}

const percent = (rate: number): string => `${(rate * 100).toFixed(1)} %`;
