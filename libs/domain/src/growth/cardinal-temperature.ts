import { levenbergMarquardt } from 'ml-levenberg-marquardt';
import { requireThat } from '../errors.js';
import { type NotEnoughData, notEnoughData } from '../statistics/estimate.js';

/** Below `minC` and above `maxC` nothing grows; at `optimumC` growth is fastest. */
export interface CardinalTemperatures {
  readonly minC: number;
  readonly optimumC: number;
  readonly maxC: number;
}

/**
 * Growth rate against temperature, as a share of the best rate: the cardinal temperature model with inflection.
 * @throws DomainError `cardinals-out-of-order` unless min < optimum < max and the optimum lies in the upper half, without
 * which the model has a pole inside the range
 * Source: Rosso and others, Applied and Environmental Microbiology 61 (1995) 610–616.
 * @example relativeGrowth(24, { minC: 5, optimumC: 28, maxC: 35 }) // 0.8764
 */
export function relativeGrowth(temperatureC: number, cardinals: CardinalTemperatures): number {
  requireThat(
    isSound(cardinals),
    'cardinals-out-of-order',
    `Growth needs min < optimum < max with the optimum above the middle, not ${cardinals.minC}, ${cardinals.optimumC}, ${cardinals.maxC}.`,
  );
  requireThat(
    Number.isFinite(temperatureC),
    'temperature-out-of-range',
    `A temperature is a number, not ${temperatureC}.`,
  );
  return shape(temperatureC, cardinals);
}

const isSound = ({ minC, optimumC, maxC }: CardinalTemperatures): boolean =>
  minC < optimumC && optimumC < maxC && optimumC > (minC + maxC) / 2;

function shape(t: number, { minC, optimumC, maxC }: CardinalTemperatures): number {
  if (!(t > minC && t < maxC)) return 0;
  const below = optimumC - minC;
  const denominator = below * (below * (t - optimumC) - (optimumC - maxC) * (optimumC + minC - 2 * t));
  return ((t - maxC) * (t - minC) ** 2) / denominator;
}

/**
 * Cardinal temperatures to start from when only the optimum of a species is known: customary edges, 5 °C below which
 * growth is negligible (15 °C for a species of the tropics) and 9 degrees above the optimum. The upper edge is drawn in
 * where the optimum is low, to keep the model whole.
 */
export function usualCardinals(optimumC: number, tropical: boolean): CardinalTemperatures {
  const minC = tropical ? 15 : 5;
  return { minC, optimumC, maxC: Math.min(optimumC + 9, 2 * optimumC - minC - 0.5) };
}

/**
 * Days at another temperature, from days at one: growth at half the rate takes twice as long. Null where nothing grows.
 * @example daysAtTemperature(14, 24, 18, usualCardinals(26, false)) // about 23
 */
export function daysAtTemperature(
  days: number,
  fromC: number,
  toC: number,
  cardinals: CardinalTemperatures,
): number | null {
  const [from, to] = [relativeGrowth(fromC, cardinals), relativeGrowth(toC, cardinals)];
  return from > 0 && to > 0 ? (days * from) / to : null;
}

export interface GrowthPoint {
  readonly temperatureC: number;
  /** In whatever unit, the same for all points; 0 or more. */
  readonly rate: number;
}

export interface CardinalFit extends CardinalTemperatures {
  readonly kind: 'fitted';
  readonly bestRate: number;
  /** Root mean square of what the curve misses. */
  readonly rootMeanSquare: number;
  readonly n: number;
}

/** Four numbers are fitted: with four points the curve passes through all of them and proves nothing. */
const FEWEST_TEMPERATURES = 6;

/**
 * Cardinal temperatures from growth measured at several temperatures, by least squares (Levenberg–Marquardt).
 * Fewer than six different temperatures, or a best rate at the edge of what was tried, are not enough.
 * @throws DomainError `growth-out-of-range` for negative rates
 */
export function fitCardinals(points: readonly GrowthPoint[]): CardinalFit | NotEnoughData {
  for (const { temperatureC, rate } of points)
    requireThat(
      rate >= 0 && Number.isFinite(rate) && Number.isFinite(temperatureC),
      'growth-out-of-range',
      `Growth of ${rate} at ${temperatureC} °C cannot be.`,
    );
  const temperatures = [...new Set(points.map(({ temperatureC }) => temperatureC))].sort((a, b) => a - b);
  if (temperatures.length < FEWEST_TEMPERATURES)
    return notEnoughData(temperatures.length, FEWEST_TEMPERATURES, 'too few temperatures to fit four numbers');
  const best = points.reduce((top, point) => (point.rate > top.rate ? point : top));
  if (best.temperatureC === temperatures[0] || best.temperatureC === temperatures.at(-1))
    return notEnoughData(
      temperatures.length,
      temperatures.length + 1,
      'the best growth lies at the edge of the temperatures tried',
    );
  return fitted(points, best, temperatures);
}

function fitted(
  points: readonly GrowthPoint[],
  best: GrowthPoint,
  temperatures: readonly number[],
): CardinalFit | NotEnoughData {
  const [lowest, highest] = [temperatures[0]!, temperatures.at(-1)!];
  const model = ([rate, minC, optimumC, maxC]: number[]) => {
    const cardinals = { minC: minC!, optimumC: optimumC!, maxC: maxC! };
    return (t: number) => (isSound(cardinals) ? rate! * shape(t, cardinals) : 1e6);
  };
  const optimumC = best.temperatureC;
  const minC = Math.min(lowest - 2, 2 * optimumC - highest - 6);
  const result = levenbergMarquardt(
    { x: points.map(({ temperatureC }) => temperatureC), y: points.map(({ rate }) => rate) },
    model,
    {
      initialValues: [best.rate, minC, optimumC, highest + 2],
      minValues: [0, -40, lowest, optimumC],
      maxValues: [best.rate * 5, optimumC, highest, 80],
      damping: 0.01,
      maxIterations: 500,
      gradientDifference: 1e-4,
      centralDifference: true,
      errorTolerance: 1e-12,
      improvementThreshold: 1e-9,
    },
  );
  const [bestRate, fitMin, fitOptimum, fitMax] = result.parameterValues as [number, number, number, number];
  const cardinals = { minC: fitMin, optimumC: fitOptimum, maxC: fitMax };
  if (!isSound(cardinals))
    return notEnoughData(points.length, points.length + 1, 'the points do not bend as growth does');
  const squares = points.reduce(
    (sum, { temperatureC, rate }) => sum + (rate - bestRate * shape(temperatureC, cardinals)) ** 2,
    0,
  );
  return {
    kind: 'fitted',
    bestRate,
    ...cardinals,
    rootMeanSquare: Math.sqrt(squares / points.length),
    n: points.length,
  };
}

/** How much faster at 10 degrees more, from two rates: `q10(3, 5, 5)` is 2.78. */
export function q10(lowRate: number, highRate: number, differenceC: number): number {
  requireThat(lowRate > 0 && highRate > 0 && differenceC !== 0, 'growth-out-of-range', 'Q10 needs two rates above 0.');
  return (highRate / lowRate) ** (10 / differenceC);
}

/** Growth per day of a colony's mass from its edge's advance and the width of its growing zone: `7.2 / 3` is 2.4 a day. */
export function specificGrowthPerDay(extensionMmPerDay: number, zoneMm: number): number {
  requireThat(extensionMmPerDay >= 0 && zoneMm > 0, 'growth-out-of-range', 'A growing zone is wider than 0 mm.');
  return extensionMmPerDay / zoneMm;
}
