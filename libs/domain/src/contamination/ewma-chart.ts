import { requireThat } from '../errors.js';
import { type NotEnoughData, notEnoughData, requireCount } from '../statistics/estimate.js';
import type { ChartPoint } from './rate-chart.js';

export interface EwmaPoint {
  /** The running average after this point. */
  readonly average: number;
  readonly lowLimit: number;
  readonly highLimit: number;
  readonly signal: 'above' | 'below' | null;
}

export interface EwmaSettings {
  /** Weight of the newest point, above 0 up to 1. */
  readonly lambda: number;
  /** Limits in sigmas; 2.7 with 0.1 gives a false alarm about every 369 points (Lucas and Saccucci 1990). */
  readonly width: number;
}

export const usualEwma: EwmaSettings = { lambda: 0.1, width: 2.7 };

/**
 * Exponentially weighted running average against limits that widen from the start: it finds a small lasting shift that a
 * chart of single points misses (NIST/SEMATECH 6.3.2.4).
 * @param sigmas standard deviation of each value when nothing is wrong
 * @throws DomainError `ewma-out-of-range`
 */
export function ewma(
  values: readonly number[],
  centre: number,
  sigmas: readonly number[],
  { lambda, width }: EwmaSettings,
): readonly EwmaPoint[] {
  requireThat(
    lambda > 0 && lambda <= 1 && width > 0 && values.length === sigmas.length && sigmas.every((sigma) => sigma >= 0),
    'ewma-out-of-range',
    `An average needs a weight above 0 up to 1 and one sigma per value: weight ${lambda}, ${values.length} values, ${sigmas.length} sigmas.`,
  );
  let average = centre;
  let variance = 0;
  return values.map((value, i) => {
    average = lambda * value + (1 - lambda) * average;
    variance = lambda * lambda * sigmas[i]! ** 2 + (1 - lambda) ** 2 * variance;
    const half = width * Math.sqrt(variance);
    const signal = average > centre + half ? 'above' : average < centre - half ? 'below' : null;
    return { average, lowLimit: centre - half, highLimit: centre + half, signal };
  });
}

export interface RateEwma {
  readonly kind: 'chart';
  readonly centre: number;
  readonly points: readonly (EwmaPoint & ChartPoint)[];
}

/**
 * The running average of contamination rates with varying numbers of jars.
 * @param centre the usual rate, 0 to 1 exclusive
 * @param sigmaZ spread beyond chance from the chart of single points; 1 is pure chance
 */
export function rateEwma(
  points: readonly ChartPoint[],
  centre: number,
  sigmaZ = 1,
  settings: EwmaSettings = usualEwma,
): RateEwma | NotEnoughData {
  for (const { hits, n } of points) requireCount(hits, n);
  const counted = points.filter(({ n }) => n > 0);
  if (counted.length === 0 || !(centre > 0 && centre < 1))
    return notEnoughData(counted.length, 1, 'no usual rate between 0 and 1 to compare with');
  const sigmas = counted.map(({ n }) => sigmaZ * Math.sqrt((centre * (1 - centre)) / n));
  const averages = ewma(
    counted.map(({ hits, n }) => hits / n),
    centre,
    sigmas,
    settings,
  );
  return {
    kind: 'chart',
    centre,
    points: averages.map((point, i) => ({
      ...counted[i]!,
      ...point,
      lowLimit: Math.max(0, point.lowLimit),
      highLimit: Math.min(1, point.highLimit),
    })),
  };
}
