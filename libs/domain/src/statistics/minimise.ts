import { inverse, Matrix } from 'ml-matrix';

/**
 * Lowest point of a smooth function of a few variables by the downhill simplex of Nelder and Mead (Computer Journal 7,
 * 1965, 308–313). The packages on npm that offer it do not load as ES modules, hence these lines.
 * Infinite values mark what is out of bounds.
 */
export interface Minimum {
  readonly at: readonly number[];
  readonly value: number;
  /** False when the steps ran out first. */
  readonly converged: boolean;
}

interface Corner {
  readonly at: readonly number[];
  readonly value: number;
}

const MAX_STEPS = 2000;

/**
 * @param f finite at `start`
 * @param steps first step along each variable
 */
export function minimise(
  f: (x: readonly number[]) => number,
  start: readonly number[],
  steps: readonly number[],
): Minimum {
  const corner = (at: readonly number[]): Corner => ({ at, value: f(at) });
  const corners = [corner(start), ...start.map((_, i) => corner(start.map((x, j) => (j === i ? x + steps[i]! : x))))];
  for (let step = 0; step < MAX_STEPS; step++) {
    corners.sort((one, other) => one.value - other.value);
    if (isSmall(corners)) return { ...corners[0]!, converged: true };
    improve(corners, corner);
  }
  return { ...corners[0]!, converged: false };
}

function isSmall(corners: readonly Corner[]): boolean {
  const best = corners[0]!;
  const worst = corners[corners.length - 1]!;
  const spread = Math.max(...worst.at.map((x, i) => Math.abs(x - best.at[i]!) / (1e-9 + Math.abs(best.at[i]!))));
  return worst.value - best.value <= 1e-12 * (1 + Math.abs(best.value)) && spread < 1e-7;
}

/** One step: reflect the worst corner through the middle of the others, stretch, contract, or shrink toward the best. */
function improve(corners: Corner[], corner: (at: readonly number[]) => Corner): void {
  const last = corners.length - 1;
  const worst = corners[last]!;
  const middle = worst.at.map((_, i) => corners.slice(0, last).reduce((sum, { at }) => sum + at[i]!, 0) / last);
  const along = (factor: number) => corner(middle.map((m, i) => m + factor * (m - worst.at[i]!)));
  const reflected = along(1);
  if (reflected.value < corners[0]!.value) {
    const stretched = along(2);
    corners[last] = stretched.value < reflected.value ? stretched : reflected;
    return;
  }
  if (reflected.value < corners[last - 1]!.value) {
    corners[last] = reflected;
    return;
  }
  const contracted = along(reflected.value < worst.value ? 0.5 : -0.5);
  if (contracted.value < Math.min(reflected.value, worst.value)) {
    corners[last] = contracted;
    return;
  }
  const best = corners[0]!.at;
  for (let i = 1; i <= last; i++) corners[i] = corner(corners[i]!.at.map((x, j) => (x + best[j]!) / 2));
}

/**
 * Covariance of a maximum-likelihood fit: the inverse of the curvature of the negative log-likelihood at its minimum,
 * by central differences. Null when the minimum is a ridge, so that the data do not fix the parameters.
 */
export function covarianceAt(
  negativeLogLikelihood: (x: readonly number[]) => number,
  at: readonly number[],
): readonly (readonly number[])[] | null {
  const size = at.length;
  const step = at.map((x) => 1e-4 * Math.max(1, Math.abs(x)));
  const f = (i: number, si: number, j: number, sj: number) =>
    negativeLogLikelihood(at.map((x, k) => x + (k === i ? si * step[i]! : 0) + (k === j ? sj * step[j]! : 0)));
  const hessian = Matrix.zeros(size, size);
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++) {
      const mixed = f(i, 1, j, 1) - f(i, 1, j, -1) - f(i, -1, j, 1) + f(i, -1, j, -1);
      hessian.set(i, j, mixed / (4 * step[i]! * step[j]!));
    }
  return invertPositive(hessian);
}

/** The inverse of a symmetric matrix, or null when it is not clearly positive definite. */
export function invertPositive(matrix: Matrix): readonly (readonly number[])[] | null {
  try {
    const result = inverse(matrix).to2DArray();
    return result.every((row, i) => row.every(Number.isFinite) && row[i]! > 0) ? result : null;
  } catch {
    return null;
  }
}
