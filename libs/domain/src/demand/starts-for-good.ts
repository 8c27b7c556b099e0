import { requireThat } from '../errors.js';
import { type BetaShapes, betaBinomialLogLikelihood } from '../statistics/beta-binomial.js';
import { binomialCdf } from '../statistics/distributions.js';

const MOST_STARTS = 100_000;

/**
 * Fewest jars to start so that at least `good` end clean with a chance, when each is clean with the same rate. Dividing
 * by the rate covers the mean only: 10 good at 80 % take 13 by division, which is enough in 75 of 100 tries.
 * @throws DomainError `starts-out-of-range`
 * @example startsForGood(10, 0.8, 0.95) // 16
 */
export function startsForGood(good: number, cleanRate: number, assurance: number): number {
  requireStarts(good, cleanRate, assurance);
  return smallest(good, cleanRate, (starts) => 1 - binomialCdf(good - 1, starts, cleanRate) >= assurance - 1e-12);
}

/**
 * The same when lots share good and bad days: the clean rate itself varies as a beta distribution, jars of one lot alike.
 * @example startsForGoodLot(50, { a: 17, b: 3 }, 0.8) // 64
 */
export function startsForGoodLot(good: number, clean: BetaShapes, assurance: number): number {
  requireThat(clean.a > 0 && clean.b > 0, 'starts-out-of-range', `Shapes lie above 0, not ${clean.a} and ${clean.b}.`);
  const mean = clean.a / (clean.a + clean.b);
  requireStarts(good, mean, assurance);
  const enough = (starts: number) => {
    let chance = 0;
    for (let hits = good; hits <= starts; hits++)
      chance += Math.exp(betaBinomialLogLikelihood([{ hits, n: starts }], clean));
    return chance >= assurance - 1e-9;
  };
  return smallest(good, mean, enough);
}

function smallest(good: number, cleanRate: number, enough: (starts: number) => boolean): number {
  let starts = good;
  // Doubles past it, then halves back: the chance only rises with more starts.
  let high = Math.max(1, Math.ceil(good / cleanRate));
  while (!enough(high)) {
    requireThat(high < MOST_STARTS, 'starts-out-of-range', `More than ${MOST_STARTS} jars would have to be started.`);
    starts = high + 1;
    high *= 2;
  }
  while (starts < high) {
    const middle = Math.floor((starts + high) / 2);
    if (enough(middle)) high = middle;
    else starts = middle + 1;
  }
  return high;
}

function requireStarts(good: number, cleanRate: number, assurance: number): void {
  requireThat(
    Number.isInteger(good) &&
      good >= 0 &&
      good <= MOST_STARTS &&
      cleanRate > 0 &&
      cleanRate <= 1 &&
      assurance > 0 &&
      assurance < 1,
    'starts-out-of-range',
    `Whole jars, a clean rate above 0 up to 1 and an assurance between 0 and 1, not ${good}, ${cleanRate}, ${assurance}.`,
  );
}
