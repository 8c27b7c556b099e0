import { requireThat } from '../errors.js';
import { logChoose } from './distributions.js';

/** Two groups, each with hits and misses. */
export interface TwoByTwo {
  readonly hitsA: number;
  readonly missesA: number;
  readonly hitsB: number;
  readonly missesB: number;
}

export interface FisherExact {
  readonly twoSided: number;
  /** Probability of as many hits in A or more. */
  readonly greater: number;
  /** Probability of as many hits in A or fewer. */
  readonly less: number;
}

/** Ties in probability are decided with this relative slack, as R's fisher.test does. */
const TIE = 1 + 1e-7;

/**
 * Fisher's exact test of two rates: whether chance alone splits the hits between the groups so unevenly.
 * @throws DomainError `count-out-of-range` for counts that are negative or not whole.
 * @example fisherExact({ hitsA: 3, missesA: 1, hitsB: 1, missesB: 3 }).twoSided // 0.4857
 */
export function fisherExact({ hitsA, missesA, hitsB, missesB }: TwoByTwo): FisherExact {
  for (const count of [hitsA, missesA, hitsB, missesB])
    requireThat(Number.isInteger(count) && count >= 0, 'count-out-of-range', `A count is whole, not ${count}.`);
  const hits = hitsA + hitsB;
  const inA = hitsA + missesA;
  const inB = hitsB + missesB;
  const probability = (x: number) =>
    Math.exp(logChoose(inA, x) + logChoose(inB, hits - x) - logChoose(inA + inB, hits));
  const observed = probability(hitsA);
  let [twoSided, greater, less] = [0, 0, 0];
  for (let x = Math.max(0, hits - inB); x <= Math.min(hits, inA); x++) {
    const p = probability(x);
    if (p <= observed * TIE) twoSided += p;
    if (x >= hitsA) greater += p;
    if (x <= hitsA) less += p;
  }
  return { twoSided: Math.min(1, twoSided), greater: Math.min(1, greater), less: Math.min(1, less) };
}
