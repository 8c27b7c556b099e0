import { requireThat } from '../errors.js';

/**
 * Benjamini and Hochberg's adjusted p-values (JRSS-B 57, 1995, 289–300), in the order given: calling those at or below
 * q keeps the expected share of false calls at or below q.
 * @throws DomainError `p-value-out-of-range`
 * @example benjaminiHochberg([0.01, 0.04, 0.03]) // [0.03, 0.04, 0.04]
 */
export function benjaminiHochberg(pValues: readonly number[]): readonly number[] {
  return stepUp(pValues, (rank, count) => count / rank);
}

/** Hochberg's adjusted p-values (Biometrika 75, 1988): no false call at all with probability 1 − q, for independent tests. */
export function hochberg(pValues: readonly number[]): readonly number[] {
  return stepUp(pValues, (rank, count) => count - rank + 1);
}

/** Holm's adjusted p-values (Scandinavian Journal of Statistics 6, 1979): no false call at all with probability 1 − q. */
export function holm(pValues: readonly number[]): readonly number[] {
  const order = ascending(pValues);
  const adjusted = new Array<number>(pValues.length);
  let highest = 0;
  order.forEach((index, place) => {
    highest = Math.max(highest, Math.min(1, pValues[index]! * (pValues.length - place)));
    adjusted[index] = highest;
  });
  return adjusted;
}

export function bonferroni(pValues: readonly number[]): readonly number[] {
  return ascending(pValues).length === 0 ? [] : pValues.map((p) => Math.min(1, p * pValues.length));
}

function stepUp(pValues: readonly number[], factor: (rank: number, count: number) => number): readonly number[] {
  const order = ascending(pValues);
  const adjusted = new Array<number>(pValues.length);
  let lowest = 1;
  for (let place = order.length - 1; place >= 0; place--) {
    const index = order[place]!;
    lowest = Math.min(lowest, pValues[index]! * factor(place + 1, order.length));
    adjusted[index] = lowest;
  }
  return adjusted;
}

function ascending(pValues: readonly number[]): readonly number[] {
  for (const p of pValues)
    requireThat(p >= 0 && p <= 1, 'p-value-out-of-range', `A p-value lies from 0 to 1, not ${p}.`);
  return pValues.map((_, index) => index).sort((one, other) => pValues[one]! - pValues[other]!);
}
