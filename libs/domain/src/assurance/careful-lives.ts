import { addDays, daysBetween } from '../calendar/calendar-day.js';
import type { FarmSituation, StockContainer, StrainProfile } from '../planning/situation.js';
import { type FarmChance, usualStrainChance } from './farm-chance.js';

/** Nine containers in ten keep at least so many standard deviations short of what is expected. */
const CAREFUL_DEVIATIONS = 1.28;

/**
 * The situation as a careful farm plans it: with lives that nine containers in ten reach. A plan that counts on the last
 * expected day loses half of what it leaves until then. What stands already and is past its careful life, but not past
 * the expected one, can still be used by tomorrow.
 */
export function withCarefulLives(situation: FarmSituation, { strains: chances }: FarmChance): FarmSituation {
  const lives = new Map(
    situation.strains.map((strain) => {
      const chance = chances.find(({ strainId }) => strainId === strain.id) ?? usualStrainChance(strain);
      return [strain.id, { expected: strain, careful: carefulStrain(strain, chance.lifeDeviation) }] as const;
    }),
  );
  return {
    ...situation,
    strains: situation.strains.map(({ id }) => lives.get(id)!.careful),
    stock: situation.stock.map((container) => {
      const life = lives.get(container.strainId);
      return life ? stillUsable(situation, container, life) : container;
    }),
  };
}

function carefulStrain(strain: StrainProfile, deviation: number): StrainProfile {
  const share = Math.max(0.5, 1 - CAREFUL_DEVIATIONS * deviation);
  return {
    ...strain,
    warmLifeDays: carefulDays(strain.warmLifeDays, share),
    coldLifeDays: carefulDays(strain.coldLifeDays, share),
  };
}

function carefulDays(days: number, share: number): number {
  return days < 2 ? days : Math.max(1, Math.round(days * share));
}

function stillUsable(
  { asOf }: FarmSituation,
  container: StockContainer,
  { expected, careful }: { readonly expected: StrainProfile; readonly careful: StrainProfile },
): StockContainer {
  if (container.generation === 0) return container;
  const { state, ripeOn, chilledOn } = container;
  if (state === 'ripe' && ripeOn !== null) {
    const later = daysLater(daysBetween(asOf, ripeOn), expected.warmLifeDays, careful.warmLifeDays);
    return later === 0 ? container : { ...container, ripeOn: addDays(ripeOn, later) };
  }
  if (state === 'chilled' && chilledOn !== null) {
    const later = daysLater(daysBetween(asOf, chilledOn), expected.coldLifeDays, careful.coldLifeDays);
    return later === 0 ? container : { ...container, chilledOn: addDays(chilledOn, later) };
  }
  return container;
}

/** By how much later a life must begin so that, careful, it does not end before tomorrow or its expected end. */
function daysLater(begun: number, expected: number, careful: number): number {
  return Math.max(0, Math.min(begun + expected, 1) - (begun + careful));
}
