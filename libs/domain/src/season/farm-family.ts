import { usualStrainChance } from '../assurance/farm-chance.js';
import { addDays, calendarDay } from '../calendar/calendar-day.js';
import type { BulkRun, FarmSituation, StockContainer, StrainProfile } from '../planning/situation.js';
import { defaultCosts } from '../planning-defaults/planning-defaults.js';
import { type SeededRandom, seededRandom } from '../statistics/seeded-random.js';
import { type SeasonFarm, type SeasonRun, seasonWeeks, type WorldTurns } from './season-farm.js';

/** What one farm of the family is like. */
export interface FarmTraits {
  readonly name: string;
  readonly strains: number;
  /** Jars that a usual week's runs use. */
  readonly jarsPerWeek: number;
  readonly lossRate: number;
  /** Bench and steriliser over what the runs need on average; below about 1.3 a farm is tight. */
  readonly roominess: number;
  readonly turns: WorldTurns;
  /** Used while the planner was tuned; figures of the others are told apart. */
  readonly tuning: boolean;
}

const START = calendarDay('2027-01-04'); // a Monday

/** From a kitchen to 300 jars a week, two losses, roomy and tight, and worlds that turn. Invented; our own scenario. */
export const farmFamily: readonly FarmTraits[] = [
  trait('kitchen-roomy', 1, 3, 0.06, 2.5, {}, true),
  trait('kitchen-tight', 1, 5, 0.12, 1.25, {}),
  trait('kitchen-two', 2, 4, 0.08, 1.8, {}, true),
  trait('small-roomy', 2, 12, 0.06, 2, {}, true),
  trait('small-tight', 2, 12, 0.1, 1.2, {}, true),
  trait('small-lossy', 3, 16, 0.18, 1.6, {}, true),
  trait('middle-roomy', 3, 30, 0.06, 2, {}),
  trait('middle-tight', 3, 30, 0.08, 1.2, {}),
  trait('middle-lossy', 4, 36, 0.15, 1.5, {}),
  trait('many-strains', 6, 40, 0.08, 1.6, {}),
  trait('large-roomy', 4, 80, 0.05, 1.8, {}),
  trait('large-tight', 4, 80, 0.08, 1.2, {}),
  trait('larger', 5, 150, 0.07, 1.4, {}),
  trait('largest', 6, 300, 0.06, 1.4, {}),
  trait('drifting', 3, 20, 0.1, 1.6, { lossDrift: 0.6 }),
  trait('bad-batches', 3, 20, 0.06, 1.6, { badBatchShare: 0.05, badBatchLoss: 0.6 }, true),
  trait('missed-mould', 3, 20, 0.1, 1.6, { missedMould: 0.3 }),
  trait('cool-room', 3, 20, 0.08, 1.6, { slowerGrowth: 0.12 }),
  trait('finite-culture', 3, 20, 0.08, 1.6, { cultureUnits: 4 }),
  trait('all-at-once', 3, 20, 0.1, 1.3, { lossDrift: 0.3, badBatchShare: 0.03, badBatchLoss: 0.5, missedMould: 0.1 }),
];

function trait(
  name: string,
  strains: number,
  jarsPerWeek: number,
  lossRate: number,
  roominess: number,
  turns: WorldTurns,
  tuning = false,
): FarmTraits {
  return { name, strains, jarsPerWeek, lossRate, roominess, turns, tuning };
}

const RIPE_GRAMS = 600;

/** The farm of some traits, with the runs its season brings under a seed. */
export function familyFarm(traits: FarmTraits, seed: number, weeks = seasonWeeks): SeasonFarm {
  const made = seededRandom(nameSeed(traits.name));
  const strains = Array.from({ length: traits.strains }, (_, place) => strainOf(traits, place, made));
  const start = startOf(traits, strains, made);
  const missedBenchShare = 0.04;
  const believed = {
    strains: strains.map((strain) => usualStrainChance(strain, { daysToRipe: strain.daysToRipe / 1.06 })),
    missedBenchShare,
  };
  const runs = strains.flatMap((strain, place) =>
    runsOf(traits, strain, place, seededRandom(seed * 977 + place), weeks),
  );
  return { name: traits.name, start, runs, believed, turns: traits.turns, missedBenchShare, weeks };
}

function strainOf({ lossRate }: FarmTraits, place: number, random: SeededRandom): StrainProfile {
  const spread = 0.7 + 0.6 * random.uniform();
  return {
    id: `strain-${place + 1}`,
    species: 'invented',
    inoculumGramsPerContainer: 30 + random.whole(30),
    daysToRipe: 12 + random.whole(7),
    lossRate: Math.round(lossRate * spread * 100) / 100,
    warmLifeDays: 8 + random.whole(7),
    coldLifeDays: 35 + random.whole(20),
    mayBeChilled: place % 4 !== 3,
    lastGeneration: 3,
    motherReserve: 1,
    culture: { leadDays: 14, containersPerUnit: 10, costPerUnit: 12 },
  };
}

function startOf(traits: FarmTraits, strains: readonly StrainProfile[], random: SeededRandom): FarmSituation {
  const perBenchDay = Math.max(
    3,
    Math.ceil((traits.jarsPerWeek / (1 - traits.lossRate)) * 1.12 * traits.roominess * 0.5),
  );
  const vesselPlaces = Math.max(3, Math.ceil(perBenchDay / 2));
  return {
    asOf: START,
    horizonDays: 84,
    rhythm: {
      benchWeekdays: [2, 5],
      closedDays: [],
      benchContainersPerDay: perBenchDay,
      benchMinutesPerDay: null,
      benchMinutesPerContainer: 3,
      vesselPlaces,
      cyclesPerPreparationDay: 2,
      preparationLeadDays: 1,
      openedLifeDays: 2,
      washingDays: 1,
    },
    strains,
    sizes: [
      {
        id: 'jar',
        volumeMl: 1000,
        ripeGrams: RIPE_GRAMS,
        inoculumFactor: 1,
        vesselPlaces: 1,
        shelfPlaces: 1,
        cleanEmpty: null,
      },
    ],
    stock: strains.flatMap((strain) => firstStock(traits, strain, random)),
    runs: [],
    rooms: [
      {
        id: 'incubation',
        kind: 'incubation',
        places: Math.ceil(traits.jarsPerWeek * 5 * traits.roominess) + 10,
        temperatureC: 24,
      },
      { id: 'cold', kind: 'cold', places: Math.ceil(traits.jarsPerWeek * 3 * traits.roominess) + 6, temperatureC: 4 },
    ],
    costs: defaultCosts,
  };
}

/** A culture, mothers of its first generation, and jars growing for the first runs. */
function firstStock(
  { jarsPerWeek, strains }: FarmTraits,
  strain: StrainProfile,
  random: SeededRandom,
): StockContainer[] {
  const stock: StockContainer[] = [];
  const add = (generation: number, age: number, changes: Partial<StockContainer>) =>
    stock.push({
      code: `${strain.id}-${stock.length + 1}`,
      strainId: strain.id,
      generation,
      sizeId: 'jar',
      state: 'ripe',
      madeOn: addDays(START, -age),
      ripeOn: addDays(START, -Math.max(0, age - strain.daysToRipe)),
      chilledOn: null,
      openedOn: null,
      gramsLeft: RIPE_GRAMS,
      roomId: null,
      keptAsMother: false,
      survival: null,
      ...changes,
    });
  add(0, 20, { gramsLeft: 10 * strain.inoculumGramsPerContainer });
  const perWeek = jarsPerWeek / strains;
  const inoculum = (perWeek * 1.2 * strain.inoculumGramsPerContainer) / RIPE_GRAMS;
  for (let mother = 0; mother < 2 + Math.ceil(3 * inoculum); mother += 1) {
    add(1, strain.daysToRipe + random.whole(3), {});
  }
  for (let jar = 0; jar < Math.ceil(perWeek * 2); jar += 1) add(2, strain.daysToRipe + 1, {});
  return stock;
}

function runsOf(
  traits: FarmTraits,
  strain: StrainProfile,
  place: number,
  random: SeededRandom,
  weeks: number,
): SeasonRun[] {
  const perWeek = traits.jarsPerWeek / traits.strains;
  // Small farms run rarely, large ones several times a week: a run is four to thirty jars.
  const jarsPerRun = Math.min(30, Math.max(3, perWeek));
  const every = (jarsPerRun / perWeek) * 7;
  const runs: SeasonRun[] = [];
  for (let day = 3 + random.uniform() * every; day < weeks * 7 - 1; day += every * (0.7 + 0.6 * random.uniform())) {
    const targetGrams = Math.round((jarsPerRun * (0.6 + 0.8 * random.uniform()) * RIPE_GRAMS) / 100) * 100;
    const late = random.uniform() < 0.15;
    const date = addDays(START, Math.floor(day));
    const run: BulkRun = {
      id: `${strain.id}-run-${runs.length + 1}`,
      day: date,
      strainIds: [strain.id],
      minGrams: Math.round(targetGrams * 0.85),
      targetGrams,
      maxGrams: Math.round(targetGrams * 1.15),
      priority: 1 + ((runs.length + place) % 2),
      slackDays: 0,
    };
    runs.push({ run, knownOn: addDays(date, late ? -(strain.daysToRipe + 3 + random.whole(7)) : -70) });
  }
  return runs;
}

function nameSeed(name: string): number {
  let seed = 7;
  for (const letter of name) seed = (Math.imul(seed, 31) + letter.charCodeAt(0)) | 0;
  return seed;
}
