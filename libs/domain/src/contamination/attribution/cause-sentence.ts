import type { Cause } from './attribute.js';
import type { FactorLevel } from './observed-lot.js';

/**
 * A cause in one plain English sentence, with the numbers it rests on. Screens in other languages have their own
 * catalogue and use the cause's numbers.
 * @param name how to call a level, for instance `operator Ada` for `{ factor: 'operator', level: 'b7…' }`
 */
export function causeSentence(
  { members, oddsRatio, excessJars, lots, jars, rate }: Cause,
  name: (member: FactorLevel) => string,
): string {
  const [first, ...others] = members.map(name);
  const who =
    others.length === 0
      ? `${first} explains`
      : `${[first, ...others].join(' or ')}: your records cannot tell which. One of them explains`;
  const percent = (100 * rate.value).toFixed(0);
  const ratio = `${oddsRatio.value.toFixed(1)} (${oddsRatio.low.toFixed(1)} to ${oddsRatio.high.toFixed(1)})`;
  return `${who} about ${Math.max(1, Math.round(excessJars))} contaminated jars too many: ${percent} % of ${jars} jars in ${lots} lots, odds ${ratio} times those of the rest.`;
}
