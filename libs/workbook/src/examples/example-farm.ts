import { addDays, type CalendarDay, formatIsoWeek, type IsoWeekday, isoWeek, mondayOf } from '@jarfold/domain';
import type { FarmRows, JarValuesRow, RunValuesRow } from '../farm/farm-workbook.js';
import { farmRow, roomRow, runRow, sizeRow, strainRow } from './blank-rows.js';
import { type ExampleLot, jarsOfLots } from './example-lot.js';

const BENCH_DAYS: readonly IsoWeekday[] = [2, 5];
const LITRE = 'litre jar';
const HALF = 'half-litre jar';
const WARM = 'Incubation';
const COLD = 'Cold store';

/**
 * An invented farm to start from: four strains, one of them harmed by cold, two sizes of jar, a vessel of fourteen
 * places, and ten weeks of bulk runs. Everything is dated from the day it is written for.
 */
export function exampleFarm(asOf: CalendarDay): FarmRows {
  return {
    farm: farmRow({
      benchWeekdays: BENCH_DAYS,
      benchContainersPerDay: 24,
      vesselPlaces: 14,
      cyclesPerPreparationDay: 2,
      preparationLeadDays: 1,
      horizonDays: 84,
      benchMinutesPerDay: 180,
      benchMinutesPerContainer: 4,
      grain: 'rye',
    }),
    strains: [
      strainRow({
        strain: 'Blue oyster',
        species: 'Pleurotus ostreatus',
        inoculumGrams: 50,
        daysToRipe: 14,
        lossRate: 0.08,
        motherReserve: 2,
        cultureLeadDays: 14,
      }),
      strainRow({
        strain: 'King oyster',
        species: 'Pleurotus eryngii',
        inoculumGrams: 60,
        daysToRipe: 16,
        lossRate: 0.1,
        motherReserve: 1,
        cultureLeadDays: 14,
      }),
      strainRow({
        strain: 'Lion’s mane',
        species: 'Hericium erinaceus',
        inoculumGrams: 60,
        daysToRipe: 13,
        lossRate: 0.12,
        motherReserve: 1,
        cultureLeadDays: 14,
      }),
      strainRow({
        strain: 'Pink oyster',
        species: 'Pleurotus djamor',
        inoculumGrams: 45,
        daysToRipe: 9,
        lossRate: 0.06,
        mayBeChilled: false,
        motherReserve: 1,
        cultureLeadDays: 14,
      }),
    ],
    sizes: [
      sizeRow({ size: LITRE, volumeMl: 1000, ripeGrams: 560, cleanEmpty: 70 }),
      sizeRow({
        size: HALF,
        volumeMl: 500,
        ripeGrams: 275,
        inoculumFactor: 0.6,
        vesselPlaces: 0.6,
        shelfPlaces: 0.6,
        cleanEmpty: 24,
      }),
    ],
    jars: exampleJars(asOf),
    runs: exampleRuns(asOf),
    rooms: [
      roomRow({ room: WARM, kind: 'incubation', places: 110, temperatureC: 24 }),
      roomRow({ room: COLD, kind: 'cold', places: 45, temperatureC: 3 }),
      roomRow({ room: 'Fruiting', kind: 'fruiting', places: 0, temperatureC: 17 }),
    ],
  };
}

const blue = { strain: 'Blue oyster', shortCode: 'BL', ripeAfter: 14 };
const king = { strain: 'King oyster', shortCode: 'KG', ripeAfter: 16 };
const mane = { strain: 'Lion’s mane', shortCode: 'LM', ripeAfter: 13 };
const pink = { strain: 'Pink oyster', shortCode: 'PK', ripeAfter: 9 };
const ripe = { size: LITRE, state: 'ripe', place: WARM } as const;
const growing = { size: LITRE, state: 'incubating', place: WARM } as const;
const chilled = { size: LITRE, state: 'chilled', place: COLD } as const;
const culture = { size: HALF, state: 'chilled', place: COLD, generation: 0, jars: 1, gramsLeft: 250 } as const;

const lots: readonly ExampleLot[] = [
  { ...blue, ...culture, daysAgo: 60 },
  { ...blue, ...chilled, generation: 1, jars: 4, daysAgo: 38 },
  { ...blue, ...chilled, generation: 2, jars: 3, daysAgo: 66 },
  { ...blue, ...ripe, generation: 2, jars: 9, daysAgo: 18 },
  { ...blue, ...growing, generation: 2, jars: 10, daysAgo: 11 },
  { ...blue, ...growing, generation: 2, jars: 8, daysAgo: 4 },
  { ...blue, ...ripe, state: 'opened', generation: 1, jars: 1, daysAgo: 31, gramsLeft: 180 },
  { ...blue, ...ripe, state: 'emptied', generation: 2, jars: 2, daysAgo: 24 },
  { ...king, ...culture, daysAgo: 45 },
  { ...king, ...chilled, generation: 1, jars: 3, daysAgo: 34 },
  { ...king, ...ripe, generation: 2, jars: 6, daysAgo: 20 },
  { ...king, ...growing, generation: 2, jars: 6, daysAgo: 8 },
  { ...mane, ...culture, daysAgo: 52 },
  { ...mane, ...ripe, generation: 1, jars: 2, daysAgo: 17, keptAsMother: true },
  { ...mane, ...growing, generation: 2, jars: 5, daysAgo: 7 },
  { ...mane, ...growing, state: 'contaminated', generation: 2, jars: 1, daysAgo: 7 },
  { ...pink, ...culture, state: 'ripe', place: WARM, daysAgo: 30 },
  { ...pink, ...ripe, generation: 1, jars: 3, daysAgo: 12 },
  { ...pink, ...growing, generation: 1, jars: 3, daysAgo: 4 },
];

const exampleJars = (asOf: CalendarDay): JarValuesRow[] => jarsOfLots(lots, asOf, BENCH_DAYS);

interface WeeklyRun {
  /** 0 is Monday. */
  readonly weekday: number;
  readonly weeks: readonly number[];
  readonly strains: readonly string[];
  readonly wetKg: number;
  readonly values?: Partial<RunValuesRow>;
}

const weekly: readonly WeeklyRun[] = [
  { weekday: 2, weeks: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9], strains: [blue.strain], wetKg: 70 },
  { weekday: 4, weeks: [1, 3, 5, 7, 9], strains: [king.strain], wetKg: 48, values: { priority: 2, slackDays: 2 } },
  { weekday: 3, weeks: [2, 4, 6, 8], strains: [mane.strain], wetKg: 40, values: { priority: 2, slackDays: 3 } },
  { weekday: 0, weeks: [1, 4, 7], strains: [pink.strain, blue.strain], wetKg: 60, values: { priority: 3 } },
  {
    weekday: 5,
    weeks: [6],
    strains: [king.strain],
    wetKg: 90,
    values: { spawnRate: 0.03, basis: 'dry/dry', substrateMoisture: 0.62, priority: 3, minShare: 0.7 },
  },
];

/** Runs of the coming weeks. Those of the running week that are over by the day of writing are not listed. */
function exampleRuns(asOf: CalendarDay): RunValuesRow[] {
  const monday = mondayOf(asOf);
  return weekly
    .flatMap(({ weekday, weeks, ...run }) =>
      weeks.map((week) => ({ ...run, day: addDays(monday, week * 7 + weekday) })),
    )
    .filter(({ day }) => day >= asOf)
    .sort((a, b) => (a.day < b.day ? -1 : a.day > b.day ? 1 : 0))
    .map(({ day, strains, wetKg, values }, index, all) =>
      runRow({
        run: runName(day, index, all),
        day,
        strains,
        substrateWetKg: wetKg,
        spawnRate: 0.05,
        basis: 'wet/wet',
        minShare: 0.8,
        priority: 1,
        ...values,
      }),
    );
}

/** `W48-2` is the second run of ISO week 48. */
function runName(day: CalendarDay, index: number, all: readonly { readonly day: CalendarDay }[]): string {
  const week = formatIsoWeek(isoWeek(day));
  const before = all.slice(0, index).filter((other) => formatIsoWeek(isoWeek(other.day)) === week).length;
  return `${week.slice(5)}-${before + 1}`;
}
