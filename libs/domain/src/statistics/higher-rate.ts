import { requireThat } from '../errors.js';
import type { BetaShapes } from './beta-binomial.js';
import { betaCdf, logBeta } from './distributions.js';

/** Tails this far out hold less than e^−40 of a distribution. */
const TAIL = 40;

/**
 * Chance that one uncertain rate is higher than another, each known as a beta distribution: contaminated plus the
 * prior's, clean plus the prior's. Computed on the log-odds, where the trapezoid rule is exact to many digits.
 * @returns P(`one` > `other`)
 * @throws DomainError `count-out-of-range` for shapes that are not above 0
 * @example chanceHigher({ a: 10, b: 15 }, { a: 5, b: 20 }) // 0.9446
 */
export function chanceHigher(one: BetaShapes, other: BetaShapes): number {
  for (const { a, b } of [one, other])
    requireThat(
      a > 0 && b > 0 && Number.isFinite(a + b),
      'count-out-of-range',
      `A beta distribution has shapes above 0, not ${a} and ${b}.`,
    );
  const { a, b } = one;
  const centre = Math.log(a / b);
  const deviation = Math.sqrt(1 / a + 1 / b);
  const [from, to] = [centre - 12 * deviation - TAIL / a, centre + 12 * deviation + TAIL / b];
  const step = Math.min(0.25, deviation / 8);
  const base = logBeta(a, b);
  let [sum, weights] = [0, 0];
  for (let t = from; t <= to; t += step) {
    // log x and log (1 − x) of the logistic, safe at both ends.
    const [logX, logRest] = [-Math.log1p(Math.exp(-t)), -Math.log1p(Math.exp(t))];
    const weight = Math.exp(a * safe(logX, t) + b * safe(logRest, -t) - base);
    weights += weight;
    if (weight > 1e-18) sum += weight * betaCdf(Math.exp(safe(logX, t)), other.a, other.b);
  }
  return Math.min(1, sum / weights);
}

/** For a far tail exp overflows, where the logarithm is the value itself. */
const safe = (log: number, t: number): number => (Number.isFinite(log) ? log : t);
