import { addDays, type CalendarDay, daysBetween } from '../calendar/calendar-day.js';
import type { FarmSituation, StockContainer, StrainProfile } from '../planning/situation.js';
import { type FarmChance, usualStrainChance } from './farm-chance.js';

/** Nine containers in ten keep at least so many standard deviations short of what is expected. */
const CAREFUL_DEVIATIONS = 1.28;

/**
 * The situation as a careful farm plans it: what is still to be made counts on lives that nine containers in ten reach,
 * for a plan that counts on the last expected day loses half of what it leaves until then. What stands already has come
 * through part of its life and is shown with its expected end on every screen; it is planned with that end, and the
 * chance that it does not get there is weighed with the rest. Only what can go into the cold is planned with the careful
 * end also where it stands: past it, it is chilled and not left warm for a run it may not keep for.
 */
export function withCarefulLives(situation: FarmSituation, { strains: chances }: FarmChance): FarmSituation {
  const lives = new Map(
    situation.strains.map((strain) => {
      const chance = chances.find(({ strainId }) => strainId === strain.id) ?? usualStrainChance(strain);
      return [strain.id, { expected: strain, careful: carefulStrain(strain, chance.lifeDeviation) }] as const;
    }),
  );
  const coldIsThere = situation.rooms.some(({ kind, places }) => kind === 'cold' && places > 0);
  return {
    ...situation,
    strains: situation.strains.map(({ id }) => lives.get(id)!.careful),
    stock: situation.stock.map((container) => {
      const life = lives.get(container.strainId);
      return life ? asExpected(container, life, coldIsThere ? situation.asOf : null) : container;
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

interface Lives {
  readonly expected: StrainProfile;
  readonly careful: StrainProfile;
}

/**
 * A life that begins later by what care takes off ends on the day it is expected to end.
 * @param chillFrom the first day on which what is ripe can be chilled; null where there is no cold
 */
function asExpected(
  container: StockContainer,
  { expected, careful }: Lives,
  chillFrom: CalendarDay | null,
): StockContainer {
  if (container.generation === 0) return container;
  const { state, ripeOn, chilledOn } = container;
  if (state === 'ripe' && ripeOn !== null) {
    const takenOff = expected.warmLifeDays - careful.warmLifeDays;
    const chilled = chillFrom !== null && expected.mayBeChilled;
    // What is past its careful end can still be chilled on the first day there is.
    const late = chilled ? daysBetween(addDays(ripeOn, careful.warmLifeDays), chillFrom) : takenOff;
    return { ...container, ripeOn: addDays(ripeOn, Math.max(0, Math.min(takenOff, late))) };
  }
  if (state === 'chilled' && chilledOn !== null) {
    return { ...container, chilledOn: addDays(chilledOn, expected.coldLifeDays - careful.coldLifeDays) };
  }
  return container;
}
