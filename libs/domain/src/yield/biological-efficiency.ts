import { requireThat } from '../errors.js';

/**
 * Fresh mushrooms per dry substrate, as a fraction (1.05 is 105 %): may exceed 1, since mushrooms are mostly water. The
 * spawn is not counted as substrate.
 * @param freshG all mushrooms picked, 0 or more
 * @param substrateDryG above 0
 * @throws DomainError `mass-out-of-range`
 * Source: definition in Chang and Miles 2004; checked on Jatwa 2016 and ten Hericium formulas (Horticulturae 2025).
 * @example biologicalEfficiency(1248.3, 1500) // 0.8322
 */
export function biologicalEfficiency(freshG: number, substrateDryG: number): number {
  requireThat(
    freshG >= 0 && Number.isFinite(freshG) && substrateDryG > 0 && Number.isFinite(substrateDryG),
    'mass-out-of-range',
    `Biological efficiency needs 0 g or more of mushrooms and some dry substrate, not ${freshG} and ${substrateDryG} g.`,
  );
  return freshG / substrateDryG;
}

/** Dry substrate behind a published yield: the same definition turned round. `drySubstrateG(910.1, 1.05)` is 866.8. */
export function drySubstrateG(freshG: number, efficiency: number): number {
  requireThat(freshG >= 0 && efficiency > 0, 'mass-out-of-range', `An efficiency lies above 0, not ${efficiency}.`);
  return freshG / efficiency;
}
