import type { DrawAmount } from './entry.js';
import { roundMassG } from './mass.js';
import { type Impossible, impossible } from './outcome.js';
import type { Jar } from './thing.js';

/**
 * Share of what a jar once held that "all but the bottom" leaves behind. Our convention (the last layer is hard to shake
 * loose and is where wet grain sits); no published figure, so the draw is always marked as estimated.
 */
export const BOTTOM_SHARE = 0.1;

export type SettledAmount =
  | { readonly massG: number; readonly estimated: boolean }
  | { readonly impossible: Impossible };

/** Grams a spoken amount means for a jar as it stands, never more than it holds. */
export function settleAmount(jar: Jar, amount: DrawAmount): SettledAmount {
  const massG = askedMassG(jar, amount);
  const thing = { kind: 'jar', id: jar.id } as const;
  const details = { code: jar.code, leftG: jar.leftG, askedG: massG };
  if (massG > jar.leftG) return impossible('draw-below-zero', thing, details);
  if (massG <= 0) return impossible('nothing-left-to-draw', thing, details);
  return { massG, estimated: amount.by !== 'grams' };
}

function askedMassG(jar: Jar, amount: DrawAmount): number {
  switch (amount.by) {
    case 'grams':
      return roundMassG(amount.massG);
    case 'half':
      return roundMassG(jar.leftG / 2);
    case 'all_but_bottom':
      return roundMassG(jar.leftG - jar.madeG * BOTTOM_SHARE);
    case 'all':
      return jar.leftG;
  }
}
