/**
 * Masses on the bench are grams in steps of 0.1 g, the finest step a bench scale shows. Rounding after every sum keeps
 * a container's books exact: made = drawn + left + discarded holds to the last step, however many draws there were.
 */
export function roundMassG(massG: number): number {
  return Math.round(massG * 10) / 10;
}

/** Sum of masses, in grams, back on the 0.1 g steps. */
export function sumMassG(...massesG: readonly number[]): number {
  return roundMassG(massesG.reduce((total, massG) => total + massG, 0));
}
