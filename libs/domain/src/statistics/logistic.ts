import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { requireThat } from '../errors.js';
import { invertPositive } from './minimise.js';

/** One group of jars with the same explaining values. */
export interface LogisticRow {
  readonly hits: number;
  readonly n: number;
  /** Explaining values, the constant 1 included where an intercept is wanted. */
  readonly x: readonly number[];
  /** How much the row counts: below 1 when its jars are alike (1/(1 + (n − 1) × correlation)). 1 when left out. */
  readonly weight?: number;
}

export interface LogisticFit {
  readonly kind: 'fitted';
  readonly coefficients: readonly number[];
  readonly standardErrors: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  readonly fitted: readonly number[];
  readonly deviance: number;
  readonly pearson: number;
  readonly logLikelihood: number;
  readonly n: number;
}

/** The data do not fix the coefficients: two explaining values always go together, or a group has only hits. */
export interface NotIdentified {
  readonly kind: 'not identified';
  readonly reason: string;
}

const MAX_STEPS = 60;

/**
 * Logistic regression of grouped counts by iteratively reweighted least squares, with an optional penalty on the
 * squares of coefficients (ridge), which keeps an all-hits group finite.
 * @param penalties one per explaining value, 0 for none; the reciprocal of the variance the value is expected to have
 * @param start coefficients to begin from, when a neighbouring fit is known; zeros otherwise
 * @throws DomainError `logistic-rows-uneven` when rows differ in length or counts are impossible
 * Source: Dobson, An Introduction to Generalized Linear Models; checked on Bliss's beetles (−60.717, 34.270).
 */
export function logisticRegression(
  rows: readonly LogisticRow[],
  penalties: readonly number[] = [],
  start: readonly number[] | null = null,
): LogisticFit | NotIdentified {
  const size = rows[0]?.x.length ?? 0;
  for (const { hits, n, x } of rows)
    requireThat(
      x.length === size && size > 0 && n >= 0 && hits >= 0 && hits <= n && x.every(Number.isFinite),
      'logistic-rows-uneven',
      `A row of a logistic regression has ${x.length} values of ${size}, ${hits} of ${n} hits.`,
    );
  if (rows.length === 0) return { kind: 'not identified', reason: 'no rows' };
  let coefficients = start ?? new Array<number>(size).fill(0);
  for (let step = 0; step < MAX_STEPS; step++) {
    const next = newtonStep(rows, coefficients, penalties);
    if (!next) return { kind: 'not identified', reason: 'two explaining values cannot be told apart' };
    const change = Math.max(...next.map((value, i) => Math.abs(value - coefficients[i]!)));
    coefficients = next;
    if (change < 1e-10) return finished(rows, coefficients, penalties);
    if (Math.max(...coefficients.map(Math.abs)) > 1e4) break;
  }
  return { kind: 'not identified', reason: 'a group has only hits or none, so its effect has no bound' };
}

const linear = (x: readonly number[], coefficients: readonly number[]): number =>
  x.reduce((sum, value, i) => sum + value * coefficients[i]!, 0);

/** Rate at a value of the linear predictor, bounded away from 0 and 1 by a rounding error. */
export const logistic = (eta: number): number => Math.min(1 - 1e-12, Math.max(1e-12, 1 / (1 + Math.exp(-eta))));

function information(rows: readonly LogisticRow[], coefficients: readonly number[], penalties: readonly number[]) {
  const size = coefficients.length;
  const sums = new Float64Array(size * size);
  const gradient = coefficients.map((value, i) => -(penalties[i] ?? 0) * value);
  for (const { hits, n, x, weight = 1 } of rows) {
    const p = logistic(linear(x, coefficients));
    const spread = weight * n * p * (1 - p);
    const residual = weight * (hits - n * p);
    for (let i = 0; i < size; i++) {
      if (x[i] === 0) continue;
      gradient[i]! += x[i]! * residual;
      for (let j = 0; j <= i; j++) sums[i * size + j]! += spread * x[i]! * x[j]!;
    }
  }
  for (let i = 0; i < size; i++) {
    sums[i * size + i]! += penalties[i] ?? 0;
    // The upper half is the lower one mirrored: equal to the last bit, as the decomposition asks.
    for (let j = 0; j < i; j++) sums[j * size + i] = sums[i * size + j]!;
  }
  return { matrix: Matrix.from1DArray(size, size, sums), gradient };
}

function newtonStep(
  rows: readonly LogisticRow[],
  coefficients: readonly number[],
  penalties: readonly number[],
): readonly number[] | null {
  const { matrix, gradient } = information(rows, coefficients, penalties);
  if (!gradient.every(Number.isFinite) || !matrix.to1DArray().every(Number.isFinite)) return null;
  const decomposition = new CholeskyDecomposition(matrix);
  if (!decomposition.isPositiveDefinite()) return null;
  const step = decomposition.solve(Matrix.columnVector(gradient)).to1DArray();
  // A step of more than 5 on the log-odds overshoots where rates are near 0 or 1; half of it still climbs.
  const damping = Math.min(1, 5 / Math.max(...step.map(Math.abs), 1e-300));
  const next = coefficients.map((value, i) => value + damping * step[i]!);
  return next.every(Number.isFinite) ? next : null;
}

function finished(
  rows: readonly LogisticRow[],
  coefficients: readonly number[],
  penalties: readonly number[],
): LogisticFit | NotIdentified {
  const covariance = invertPositive(information(rows, coefficients, penalties).matrix);
  if (!covariance) return { kind: 'not identified', reason: 'two explaining values cannot be told apart' };
  const fitted = rows.map(({ n, x }) => n * logistic(linear(x, coefficients)));
  const terms = rows.map(({ hits, n, weight = 1 }, i) => ({ hits, n, weight, mean: fitted[i]! }));
  const share = (count: number, mean: number) => (count === 0 ? 0 : count * Math.log(count / mean));
  return {
    kind: 'fitted',
    coefficients,
    standardErrors: covariance.map((row, i) => Math.sqrt(row[i]!)),
    covariance,
    fitted,
    deviance:
      2 * terms.reduce((sum, t) => sum + t.weight * (share(t.hits, t.mean) + share(t.n - t.hits, t.n - t.mean)), 0),
    pearson: terms.reduce(
      (sum, t) => sum + (t.n === 0 ? 0 : (t.weight * (t.hits - t.mean) ** 2) / (t.mean * (1 - t.mean / t.n))),
      0,
    ),
    logLikelihood: terms.reduce(
      (sum, t) =>
        sum +
        (t.n === 0 ? 0 : t.weight * (t.hits * Math.log(t.mean / t.n) + (t.n - t.hits) * Math.log(1 - t.mean / t.n))),
      0,
    ),
    n: rows.reduce((sum, { n }) => sum + n, 0),
  };
}
