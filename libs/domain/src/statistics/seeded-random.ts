/**
 * Random numbers from a seed: the same seed gives the same numbers on every machine. Used by simulations and bootstraps;
 * nothing in the domain draws an unseeded number. The generator is `sfc32` (Doty-Humphrey, PractRand), 128 bits of state.
 */
export interface SeededRandom {
  /** Uniform from 0 up to below 1. */
  uniform(): number;
  normal(): number;
  /** Gamma with a shape and scale 1 (Marsaglia and Tsang, ACM TOMS 26, 2000). */
  gamma(shape: number): number;
  beta(a: number, b: number): number;
  binomial(n: number, p: number): number;
  /** Whole from 0 up to below `below`. */
  whole(below: number): number;
}

export function seededRandom(seed: number): SeededRandom {
  const uniform = sfc32(seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  const gamma = (shape: number): number => {
    if (shape < 1) return gamma(shape + 1) * (1 - uniform()) ** (1 / shape);
    const d = shape - 1 / 3;
    for (;;) {
      const x = normal();
      const v = (1 + x / Math.sqrt(9 * d)) ** 3;
      if (v > 0 && Math.log(1 - uniform()) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v;
    }
  };
  const beta = (a: number, b: number) => {
    const first = gamma(a);
    return first / (first + gamma(b));
  };
  const binomial = (n: number, p: number) => {
    let hits = 0;
    for (let i = 0; i < n; i++) if (uniform() < p) hits++;
    return hits;
  };
  return { uniform, normal, gamma, beta, binomial, whole: (below) => Math.floor(uniform() * below) };
}

function sfc32(seed: number): () => number {
  let a = 0x9e3779b9;
  let b = 0x243f6a88;
  let c = seed | 0;
  let d = 1;
  const next = () => {
    const t = (((a + b) | 0) + d) | 0;
    d = (d + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + t) | 0;
    return (t >>> 0) / 4294967296;
  };
  for (let i = 0; i < 15; i++) next();
  return next;
}
