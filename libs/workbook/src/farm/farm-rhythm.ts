import { type CostRates, defaultCosts, defaultRhythm, type WorkRhythm } from '@jarfold/domain';
import type { FarmSettingValues } from '../sheets/farm-settings.js';

const GRAMS_PER_KG = 1000;

/** The farm's rhythm of work, with starting values for what it left blank. */
export function rhythmOf(farm: FarmSettingValues): WorkRhythm {
  const { warmUpDays } = farm;
  return {
    benchWeekdays: farm.benchWeekdays ?? defaultRhythm.benchWeekdays,
    closedDays: farm.closedDays ?? defaultRhythm.closedDays,
    benchContainersPerDay: farm.benchContainersPerDay ?? defaultRhythm.benchContainersPerDay,
    benchMinutesPerDay: farm.benchMinutesPerDay ?? null,
    benchMinutesPerContainer: farm.benchMinutesPerContainer ?? defaultRhythm.benchMinutesPerContainer,
    vesselPlaces: farm.vesselPlaces ?? defaultRhythm.vesselPlaces,
    cyclesPerPreparationDay: farm.cyclesPerPreparationDay ?? defaultRhythm.cyclesPerPreparationDay,
    preparationLeadDays: farm.preparationLeadDays ?? defaultRhythm.preparationLeadDays,
    openedLifeDays: farm.openedLifeDays ?? defaultRhythm.openedLifeDays,
    washingDays: farm.washingDays ?? defaultRhythm.washingDays,
    ...(warmUpDays === null ? {} : { warmUpDays }),
  };
}

/** The farm's costs. Sheets give them per kilogram, the planner counts grams. */
export function costsOf(farm: FarmSettingValues): CostRates {
  const perGram = (perKg: number | null, otherwise: number) => (perKg === null ? otherwise : perKg / GRAMS_PER_KG);
  const { perContainerChilled, perMotherMissingDay } = farm;
  return {
    perContainerStarted: farm.perContainerStarted ?? defaultCosts.perContainerStarted,
    perCycle: farm.perCycle ?? defaultCosts.perCycle,
    perGramAgedOut: perGram(farm.perKgAgedOut, defaultCosts.perGramAgedOut),
    perGramShort: perGram(farm.perKgShort, defaultCosts.perGramShort),
    perGramBelowTarget: perGram(farm.perKgBelowTarget, defaultCosts.perGramBelowTarget),
    perGramGeneration: defaultCosts.perGramGeneration,
    perGramDayOld: defaultCosts.perGramDayOld,
    ...(perContainerChilled === null ? {} : { perContainerChilled }),
    ...(perMotherMissingDay === null ? {} : { perMotherMissingDay }),
  };
}
