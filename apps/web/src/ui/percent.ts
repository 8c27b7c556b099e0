import { fractionToPercent, percentToFraction } from '@jarfold/domain';
import { readNumber } from './read-number.js';

/** A share as it stands in a box that says %. Six digits, so that 0.07 does not come back as 7.000000000000001. */
export function percentText(share: number | null): string {
  return share === null ? '' : String(Number(fractionToPercent(share).toPrecision(6)));
}

/** What a box that says % holds, as a share; null when it is empty, NaN when it is no number. */
export function readPercent(text: string): number | null {
  const percent = readNumber(text);
  return percent === null ? null : Number(percentToFraction(percent).toPrecision(6));
}
