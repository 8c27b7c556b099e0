import { requireThat } from '../errors.js';
import { logChoose } from '../statistics/distributions.js';

/**
 * How many jars of a lot to look at, so that at least one bad one is seen with a chance if there are so many
 * (hypergeometric; Cannon and Roe's tables).
 * @param lotJars jars in the lot, whole
 * @param badJars bad ones worth finding, 1 to `lotJars`
 * @throws DomainError `checks-out-of-range`
 * @example checksToFind(100, 5, 0.95) // 45
 */
export function checksToFind(lotJars: number, badJars: number, confidence: number): number {
  requireThat(
    Number.isInteger(lotJars) &&
      Number.isInteger(badJars) &&
      badJars >= 1 &&
      badJars <= lotJars &&
      confidence > 0 &&
      confidence < 1,
    'checks-out-of-range',
    `Look for 1 bad jar or more of a lot with a chance between 0 and 1, not ${badJars} of ${lotJars} with ${confidence}.`,
  );
  const clean = lotJars - badJars;
  const missAll = (looks: number) =>
    looks > clean ? 0 : Math.exp(logChoose(clean, looks) - logChoose(lotJars, looks));
  let [low, high] = [1, lotJars];
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (missAll(middle) <= 1 - confidence + 1e-12) high = middle;
    else low = middle + 1;
  }
  return high;
}
