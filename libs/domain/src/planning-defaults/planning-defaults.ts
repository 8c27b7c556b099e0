import type { CostRates, WorkRhythm } from '../planning/situation.js';

/** How far ahead a farm plans unless it says otherwise: 16 weeks, five spawn generations of three weeks. Our own choice. */
export const defaultHorizonDays = 112;

/**
 * The work rhythm of a farm that has not said any: two bench days a week and one vessel of seven jars loaded twice on
 * the day before. Starting values to be changed, common practice, no source.
 */
export const defaultRhythm: WorkRhythm = {
  benchWeekdays: [2, 5],
  closedDays: [],
  benchContainersPerDay: 24,
  benchMinutesPerDay: null,
  benchMinutesPerContainer: 3,
  vesselPlaces: 7,
  cyclesPerPreparationDay: 2,
  preparationLeadDays: 1,
  openedLifeDays: 2,
  washingDays: 1,
};

/**
 * What things cost a farm that has not said, in whatever money it counts: only their proportions matter to a plan.
 * Starting values, no source. The proportions are chosen so that
 * - a jar of 600 g with its share of a cycle costs about 0.003 a gram;
 * - a gram missing below a run's minimum costs more than making it through several generations, also at the lowest
 *   priority (9): 0.1 / 9 is about 0.011. For comparison, a gram of spawn at 5 % of wet substrate carries about 5 g of
 *   mushrooms (35 % dry matter, 75 % biological efficiency), so a run that is thrown away loses several cents a gram;
 * - a gram missing to its target costs twice what making it does;
 * - younger and fresher spawn is preferred only where it costs nothing else that matters.
 */
export const defaultCosts: CostRates = {
  perContainerStarted: 1.5,
  perCycle: 3,
  perGramAgedOut: 0.003,
  perGramShort: 0.1,
  perGramBelowTarget: 0.006,
  perGramGeneration: 0.0002,
  perGramDayOld: 0.00002,
};
