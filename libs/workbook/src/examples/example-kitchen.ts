import { addDays, type CalendarDay, type IsoWeekday } from '@jarfold/domain';
import type { FarmRows } from '../farm/farm-workbook.js';
import { farmRow, roomRow, runRow, sizeRow, strainRow } from './blank-rows.js';
import { jarsOfLots } from './example-lot.js';

const BENCH_DAYS: readonly IsoWeekday[] = [6];
const JAR = 'jar';
const SHELF = 'Kitchen shelf';
const FRIDGE = 'Fridge';

/** An invented kitchen: one strain, one pot, a dozen jars, a bucket of straw now and then. */
export function exampleKitchen(asOf: CalendarDay): FarmRows {
  const lot = { strain: 'Oyster', shortCode: 'OY', size: JAR, ripeAfter: 14 } as const;
  const jars = [
    { ...lot, state: 'chilled', place: FRIDGE, generation: 1, jars: 2, daysAgo: 40 },
    { ...lot, state: 'ripe', place: SHELF, generation: 2, jars: 4, daysAgo: 17 },
    { ...lot, state: 'incubating', place: SHELF, generation: 2, jars: 5, daysAgo: 6 },
    { ...lot, state: 'opened', place: FRIDGE, generation: 2, jars: 1, daysAgo: 24, gramsLeft: 120 },
  ] as const;
  return {
    farm: farmRow({ benchWeekdays: BENCH_DAYS, benchContainersPerDay: 6, vesselPlaces: 5, horizonDays: 56 }),
    strains: [strainRow({ strain: 'Oyster', species: 'Pleurotus ostreatus', motherReserve: 1 })],
    sizes: [sizeRow({ size: JAR, volumeMl: 500, ripeGrams: 270, cleanEmpty: 8 })],
    jars: jarsOfLots(jars, asOf, BENCH_DAYS),
    runs: [3, 13, 24, 34, 45].map((days, index) =>
      runRow({ run: `Bucket ${index + 1}`, day: addDays(asOf, days), strains: ['Oyster'], substrateWetKg: 9 }),
    ),
    rooms: [
      roomRow({ room: SHELF, kind: 'incubation', places: 20, temperatureC: 21 }),
      roomRow({ room: FRIDGE, kind: 'cold', places: 6, temperatureC: 4 }),
    ],
  };
}
