import { addDays, calendarDay } from '@jarfold/domain';
import type { BulkRun, FarmSituation, StockContainer } from '@jarfold/domain/planning';

/** Monday; textbook periods 1, 2, 3 … are the days after it. */
export const DAY_0 = calendarDay('2026-11-23');

/**
 * A farm stripped to what production planning textbooks know: one product, one container of one gram, any number made on
 * any day, no limits but time. Costs are 0 unless a test sets them.
 */
export function textbookFarm(changes: {
  readonly demand: readonly number[];
  readonly leadPeriods: number;
  readonly setUpCosts: readonly number[];
  readonly holdingCost: number;
  readonly stock?: readonly StockContainer[];
  readonly lossRate?: number;
  /** Cost of one unit; without it nothing speaks against making more than is wanted. */
  readonly unitCost?: number;
}): FarmSituation {
  const periods = changes.demand.length;
  return {
    asOf: DAY_0,
    horizonDays: periods,
    rhythm: {
      benchWeekdays: [1, 2, 3, 4, 5, 6, 7],
      closedDays: [],
      benchContainersPerDay: 100_000,
      benchMinutesPerDay: null,
      benchMinutesPerContainer: 0,
      vesselPlaces: 100_000,
      cyclesPerPreparationDay: 1,
      preparationLeadDays: 0,
      openedLifeDays: 0,
      washingDays: 0,
    },
    strains: [
      {
        id: 'product',
        species: 'none',
        inoculumGramsPerContainer: 0.001,
        daysToRipe: changes.leadPeriods,
        lossRate: changes.lossRate ?? 0,
        warmLifeDays: 400,
        coldLifeDays: 0,
        mayBeChilled: false,
        lastGeneration: 1,
        motherReserve: 0,
        culture: null,
        cultureLifeDays: 1000,
      },
    ],
    sizes: [
      { id: 'unit', volumeMl: 1, ripeGrams: 1, inoculumFactor: 1, vesselPlaces: 1, shelfPlaces: 0, cleanEmpty: null },
    ],
    stock: [textbookUnit({ code: 'culture', generation: 0, gramsLeft: 1000 }), ...(changes.stock ?? [])],
    runs: changes.demand.flatMap((units, place) => (units > 0 ? [textbookRun(place + 1, units)] : [])),
    rooms: [],
    costs: {
      perContainerStarted: changes.unitCost ?? 0,
      perCycle: 0,
      perGramAgedOut: 0,
      perGramShort: 10_000,
      perGramBelowTarget: 10_000,
      perGramGeneration: 0,
      perGramDayOld: changes.holdingCost,
      cycleCostOnDay: changes.setUpCosts.map((cost, place) => ({
        day: addDays(DAY_0, place + 1 - changes.leadPeriods),
        cost,
      })),
    },
  };
}

/** A demand that must be met in full in a period. */
export function textbookRun(period: number, units: number): BulkRun {
  return {
    id: `period-${String(period).padStart(2, '0')}`,
    day: addDays(DAY_0, period),
    strainIds: ['product'],
    minGrams: units,
    targetGrams: units,
    maxGrams: units,
    priority: 1,
    slackDays: 0,
  };
}

/** One unit on hand. */
export function textbookUnit(changes: Partial<StockContainer> & Pick<StockContainer, 'code'>): StockContainer {
  return {
    strainId: 'product',
    generation: 1,
    sizeId: 'unit',
    state: 'ripe',
    madeOn: DAY_0,
    ripeOn: DAY_0,
    chilledOn: null,
    openedOn: null,
    gramsLeft: 1,
    roomId: null,
    keptAsMother: false,
    survival: null,
    ...changes,
  };
}
