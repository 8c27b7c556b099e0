/** Share of a standard normal below z, by the series for small z and the continued fraction for its tails. */
export function normalBelow(z: number): number {
  const density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
  if (Math.abs(z) < 3) {
    let term = z;
    let sum = z;
    for (let k = 1; Math.abs(term) > 1e-16 * Math.abs(sum) + 1e-300; k += 1) {
      term *= (z * z) / (2 * k + 1);
      sum += term;
    }
    return 0.5 + density * sum;
  }
  const size = Math.abs(z);
  let fraction = size;
  for (let k = 60; k >= 1; k -= 1) fraction = size + k / fraction;
  const tail = density / fraction;
  return z < 0 ? tail : 1 - tail;
}

/**
 * Standard normal deviate with a share u below it, within 4.5e-4.
 * Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.2.23.
 */
export function deviateAt(u: number): number {
  const tail = Math.max(u < 0.5 ? u : 1 - u, 1e-12);
  const t = Math.sqrt(-2 * Math.log(tail));
  const z =
    t - (2.515517 + 0.802853 * t + 0.010328 * t * t) / (1 + 1.432788 * t + 0.189269 * t * t + 0.001308 * t * t * t);
  return u < 0.5 ? -z : z;
}

const REACH = 4.25;
const STEPS_PER_UNIT = 20;

/** Deviates of the part of the standard normal above `least`, each from an uncut one by quantile. */
export class DeviatesAbove {
  private readonly least: number;
  /** From an uncut deviate, in steps, to one of the part. Null: so little is cut off that nothing changes. */
  private readonly table: Float64Array | null;

  constructor(least: number) {
    this.least = least;
    this.table = least <= -3.5 ? null : tableAbove(least);
  }

  at(deviate: number): number {
    if (this.table === null) return deviate;
    const place = (Math.min(REACH - 1e-9, Math.max(-REACH, deviate)) + REACH) * STEPS_PER_UNIT;
    const below = Math.floor(place);
    const low = this.table[below]!;
    return Math.max(this.least, low + (place - below) * (this.table[below + 1]! - low));
  }
}

function tableAbove(least: number): Float64Array {
  const gone = Math.min(1 - 1e-9, normalBelow(least));
  return Float64Array.from({ length: 2 * REACH * STEPS_PER_UNIT + 1 }, (_, place) =>
    deviateAt(gone + (1 - gone) * normalBelow(place / STEPS_PER_UNIT - REACH)),
  );
}
