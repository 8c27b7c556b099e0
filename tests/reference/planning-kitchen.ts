import { calendarDay } from '@jarfold/domain';
import type { FarmSituation, StockContainer } from '@jarfold/domain/planning';

/** A kitchen with one pot, one strain and one mother jar; bench on Saturdays, a run four weeks ahead. Invented. */
export function kitchen(changes: Partial<FarmSituation> = {}): FarmSituation {
  return {
    asOf: calendarDay('2026-11-25'),
    horizonDays: 42,
    rhythm: {
      benchWeekdays: [6],
      closedDays: [],
      benchContainersPerDay: 7,
      benchMinutesPerDay: null,
      benchMinutesPerContainer: 5,
      vesselPlaces: 7,
      cyclesPerPreparationDay: 1,
      preparationLeadDays: 1,
      openedLifeDays: 2,
      washingDays: 1,
    },
    strains: [
      {
        id: 'oyster',
        species: 'Pleurotus ostreatus',
        inoculumGramsPerContainer: 20,
        daysToRipe: 14,
        lossRate: 0,
        warmLifeDays: 21,
        coldLifeDays: 56,
        mayBeChilled: true,
        lastGeneration: 3,
        motherReserve: 0,
        culture: null,
      },
    ],
    sizes: [
      {
        id: 'jar',
        volumeMl: 900,
        ripeGrams: 500,
        inoculumFactor: 1,
        vesselPlaces: 1,
        shelfPlaces: 1,
        cleanEmpty: null,
      },
    ],
    stock: [stockJar({ code: 'M-1' })],
    runs: [
      {
        id: 'run-1',
        day: calendarDay('2026-12-23'),
        strainIds: ['oyster'],
        minGrams: 1200,
        targetGrams: 1500,
        maxGrams: 1800,
        priority: 1,
        slackDays: 0,
      },
    ],
    rooms: [
      { id: 'cupboard', kind: 'incubation', places: 24, temperatureC: 22 },
      { id: 'fridge', kind: 'cold', places: 6, temperatureC: 4 },
    ],
    costs: {
      perContainerStarted: 1.5,
      perCycle: 3,
      perGramAgedOut: 0.002,
      perGramShort: 0.06,
      perGramBelowTarget: 0.03,
      perGramGeneration: 0.0001,
      perGramDayOld: 0.00002,
    },
    ...changes,
  };
}

/** A ripe jar of generation 1 on hand, made three weeks ago. */
export function stockJar(changes: Partial<StockContainer> & Pick<StockContainer, 'code'>): StockContainer {
  return {
    strainId: 'oyster',
    generation: 1,
    sizeId: 'jar',
    state: 'ripe',
    madeOn: calendarDay('2026-11-08'),
    ripeOn: calendarDay('2026-11-22'),
    chilledOn: null,
    openedOn: null,
    gramsLeft: 500,
    roomId: null,
    keptAsMother: false,
    survival: null,
    ...changes,
  };
}
