import { requireThat } from '../errors.js';

export interface CusumPoint {
  /** Sum of what exceeds the target by more than the slack. */
  readonly above: number;
  readonly below: number;
  /** Points in a row that `above` has been over 0: where the shift began. */
  readonly risingFor: number;
  readonly fallingFor: number;
  readonly signal: 'above' | 'below' | null;
}

export interface CusumSettings {
  readonly target: number;
  /** Slack: half the shift worth finding, in the values' unit. */
  readonly slack: number;
  /** A sum beyond this is a signal. */
  readonly decision: number;
}

/**
 * Tabular cumulative sums: the quickest finder of a shift of a known size, and of when it began (NIST/SEMATECH 6.3.2.3).
 * @throws DomainError `cusum-out-of-range`
 */
export function cusum(values: readonly number[], { target, slack, decision }: CusumSettings): readonly CusumPoint[] {
  requireThat(
    slack >= 0 && decision > 0 && Number.isFinite(target),
    'cusum-out-of-range',
    `A cumulative sum needs slack of 0 or more and a decision above 0, not ${slack} and ${decision}.`,
  );
  let [above, below, risingFor, fallingFor] = [0, 0, 0, 0];
  return values.map((value) => {
    above = Math.max(0, above + value - target - slack);
    below = Math.max(0, below + target - slack - value);
    risingFor = above > 0 ? risingFor + 1 : 0;
    fallingFor = below > 0 ? fallingFor + 1 : 0;
    const signal = above > decision ? 'above' : below > decision ? 'below' : null;
    return { above, below, risingFor, fallingFor, signal };
  });
}

/**
 * Slack for counts of contaminated jars of n, tuned to find a rise from a usual rate to a bad one soonest (Reynolds and
 * Stoumbos 1999).
 * @example binomialSlack(0.05, 0.1, 50) // 3.618
 */
export function binomialSlack(usualRate: number, badRate: number, n: number): number {
  requireThat(
    usualRate > 0 && usualRate < badRate && badRate < 1 && n > 0,
    'cusum-out-of-range',
    `A rise goes from a rate above 0 to a higher one below 1, not from ${usualRate} to ${badRate}.`,
  );
  const lost = -Math.log((1 - badRate) / (1 - usualRate));
  const gained = Math.log((badRate * (1 - usualRate)) / (usualRate * (1 - badRate)));
  return (n * lost) / gained;
}
