import { deviateAt } from './normal.js';

/** Below this the chance of losing none is no longer a number; a normal deviate is close enough by then. */
const SMALLEST_EXPONENT = -600;

/**
 * Containers lost of n when each is lost with probability `rate`: the quantile of the binomial distribution at `u`. For one
 * `u`, one container more never means fewer clean ones, so that plans can be compared on the same luck.
 */
export function lostContainers(n: number, rate: number, u: number): number {
  if (n <= 0 || rate <= 0) return 0;
  if (rate >= 1) return n;
  const exponent = n * Math.log1p(-rate);
  if (exponent < SMALLEST_EXPONENT) return lostOfMany(n, rate, u);
  const odds = rate / (1 - rate);
  let chance = Math.exp(exponent);
  let below = chance;
  let lost = 0;
  while (u > below && lost < n) {
    lost += 1;
    chance *= (odds * (n - lost + 1)) / lost;
    below += chance;
  }
  return lost;
}

function lostOfMany(n: number, rate: number, u: number): number {
  // The deviate is within a twentieth of a container here.
  const lost = Math.round(n * rate + deviateAt(u) * Math.sqrt(n * rate * (1 - rate)));
  return Math.min(n, Math.max(0, lost));
}
