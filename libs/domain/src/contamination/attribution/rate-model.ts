import { type LogisticRow, logisticRegression } from '../../statistics/logistic.js';
import type { LotTable } from './observed-lot.js';

/**
 * Penalty on every blamed level: its log-odds are expected within about ±2.5 (a factor of twelve), which keeps a level
 * whose every jar was lost finite and moves others by next to nothing.
 */
const PENALTY = 1 / 2.5 ** 2;

/** A logistic model of the rate: a common level, one for blanks, and the levels blamed so far. */
export interface RateModel {
  readonly coefficients: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  /** Explaining values of each row. */
  readonly x: readonly (readonly number[])[];
  /** Expected hits of each row. */
  readonly expected: Float64Array;
  /** Spread of each row: weight × n p (1 − p). */
  readonly spread: Float64Array;
  /** Weighted residual of each row: weight × (hits − expected). */
  readonly residual: Float64Array;
  readonly weight: Float64Array;
  readonly logLikelihood: number;
}

/**
 * Fits the model with the given rows marked as members of blamed levels.
 * @param memberRows for each blamed level the rows in it
 * @param correlation between two jars of a lot beyond the model
 * @returns null when the levels cannot be told apart or the data do not fix them
 */
export function fitRateModel(
  table: LotTable,
  memberRows: readonly (readonly number[])[],
  correlation: number,
  start: readonly number[] | null = null,
): RateModel | null {
  const { x, groups } = groupAlike(table, memberRows);
  const weightOf = (jars: number) => 1 / (1 + (jars - 1) * correlation);
  const rows: LogisticRow[] = groups.map(({ hits, n, jars, values }) => ({
    hits,
    n,
    x: values,
    weight: weightOf(jars),
  }));
  // Blanks are few and often all clean: the penalty on their own level keeps it finite too.
  const penalties = (x[0] ?? []).map((_, i) => (i === 0 ? 0 : PENALTY));
  const begin = start && [...start, ...new Array<number>(penalties.length - start.length).fill(0)];
  const fit = logisticRegression(rows, penalties, begin);
  if (fit.kind !== 'fitted') return null;
  const rate = new Map(groups.map(({ values, n }, i) => [values, fit.fitted[i]! / n]));
  const weight = table.jars.map(weightOf);
  const expected = table.jars.map((jars, row) => jars * rate.get(x[row]!)!);
  return {
    coefficients: fit.coefficients,
    covariance: fit.covariance,
    x,
    expected,
    spread: expected.map((mean, row) => weight[row]! * mean * (1 - mean / table.jars[row]!)),
    residual: expected.map((mean, row) => weight[row]! * (table.hits[row]! - mean)),
    weight,
    logLikelihood: fit.logLikelihood,
  };
}

/** Rows with the same explaining values and number of jars, summed: the fit needs no more, and there are few. */
interface Alike {
  readonly values: readonly number[];
  readonly jars: number;
  hits: number;
  n: number;
}

function groupAlike(table: LotTable, memberRows: readonly (readonly number[])[]) {
  const hasBlanks = table.lots < table.hits.length;
  const pattern = new Int32Array(table.hits.length);
  memberRows.forEach((rows, k) => {
    for (const row of rows) pattern[row]! += 2 ** (k + 1);
  });
  if (hasBlanks) for (let row = table.lots; row < pattern.length; row++) pattern[row]! += 1;
  const valuesOf = new Map<number, readonly number[]>();
  const groups = new Map<string, Alike>();
  const x = Array.from(pattern, (bits, row) => {
    const values = valuesOf.get(bits) ?? spelledOut(bits, memberRows.length, hasBlanks);
    valuesOf.set(bits, values);
    const jars = table.jars[row]!;
    const key = `${bits}/${jars}`;
    const group = groups.get(key) ?? { values, jars, hits: 0, n: 0 };
    group.hits += table.hits[row]!;
    group.n += jars;
    groups.set(key, group);
    return values;
  });
  return { x, groups: [...groups.values()] };
}

const spelledOut = (bits: number, blamed: number, hasBlanks: boolean): readonly number[] => [
  1,
  ...(hasBlanks ? [bits & 1] : []),
  ...Array.from({ length: blamed }, (_, k) => (bits >> (k + 1)) & 1),
];

/**
 * Correlation between two jars of a lot that the model leaves unexplained, by matching the lots' squared residuals to
 * what they should be (Williams, Applied Statistics 31, 1982).
 */
export function lotCorrelation(table: LotTable, { expected, coefficients }: RateModel): number {
  const rows = Array.from({ length: table.lots }, (_, row) => row).filter((row) => table.jars[row]! > 1);
  const excess = (correlation: number) =>
    rows.reduce((sum, row) => {
      const [n, mean] = [table.jars[row]!, expected[row]!];
      const variance = mean * (1 - mean / n) * (1 + (n - 1) * correlation);
      return sum + (table.hits[row]! - mean) ** 2 / variance;
    }, 0) -
    (rows.length - coefficients.length);
  if (rows.length <= coefficients.length || excess(0) <= 0) return 0;
  let [low, high] = [0, 0.9];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (excess(middle) > 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
