/**
 * Invented farms for measuring the planner: seeded, so that the same name always gives the same farm. Nothing here
 * describes a real farm.
 */

const AS_OF = '2026-11-23'; // a Monday

/** Ten farms for which long integer solves are kept in results/; they differ in size, tightness and habits. */
export const referenceFarms = [
  { name: 'six-strains-1', seed: 1, strains: 6, weeks: 16, runs: 78, tightness: 1.5 },
  { name: 'six-strains-2', seed: 2, strains: 6, weeks: 16, runs: 78, tightness: 1.15 },
  { name: 'six-strains-3', seed: 3, strains: 6, weeks: 16, runs: 78, tightness: 0.9 },
  { name: 'one-size-roomy', seed: 4, strains: 4, weeks: 12, runs: 40, tightness: 2, sizes: 1 },
  { name: 'cold-sensitive', seed: 5, strains: 4, weeks: 12, runs: 36, tightness: 1.3, coldSensitive: 3 },
  { name: 'few-jars', seed: 6, strains: 3, weeks: 12, runs: 30, tightness: 1.3, cleanEmpty: 60 },
  { name: 'weekly-bench', seed: 7, strains: 3, weeks: 16, runs: 32, tightness: 1.4, benchWeekdays: [2] },
  { name: 'moving-runs', seed: 8, strains: 4, weeks: 10, runs: 30, tightness: 1.2, slackDays: 2, choices: 2 },
  { name: 'small-shelves', seed: 9, strains: 5, weeks: 14, runs: 50, tightness: 1.3, shelfTightness: 0.8 },
  { name: 'three-generations', seed: 10, strains: 2, weeks: 16, runs: 30, tightness: 1.2, lastGeneration: 4 },
];

/** The measure of the speed target: 6 strains, 16 weeks, 2 bench days a week, 78 runs. */
export function sixStrainsFarm(seed) {
  return generateFarm({
    name: `six-strains-${seed}`,
    seed,
    strains: 6,
    weeks: 16,
    runs: 78,
    tightness: 1 + (seed % 5) * 0.2,
  });
}

/** A kitchen: one pot, one or two strains, about a dozen jars on hand, a small run every other week or so. */
export function kitchenFarm(seed) {
  const random = mulberry32(seed * 104729 + 5);
  const whole = (low, high) => Math.floor(low + random() * (high - low + 1));
  const weeks = whole(8, 16);
  const strains = Array.from({ length: whole(1, 2) }, (_, place) => ({
    ...strainProfile(place, {}, (low, high) => low + random() * (high - low), whole),
    motherReserve: seed % 2,
  }));
  const ripeGrams = whole(350, 650);
  const stock = strains.flatMap((strain, place) =>
    Array.from({ length: whole(2, 6) }, (_, each) => {
      const state = each % 3 === 0 ? 'incubating' : each % 3 === 1 || !strain.mayBeChilled ? 'ripe' : 'chilled';
      const age = state === 'incubating' ? whole(1, strain.daysToRipe - 1) : strain.daysToRipe + whole(0, 5);
      return {
        code: `K${place}-${each}`,
        strainId: strain.id,
        generation: 1 + (each % 2),
        sizeId: 'jar',
        state,
        madeOn: addDays(AS_OF, -age),
        ripeOn: null,
        chilledOn: state === 'chilled' ? AS_OF : null,
        openedOn: null,
        gramsLeft: state === 'incubating' ? 0 : ripeGrams,
        roomId: null,
        keptAsMother: false,
        survival: null,
      };
    }),
  );
  const runs = Array.from({ length: whole(2, 6) }, (_, place) => {
    const targetGrams = whole(1, 5) * 300;
    return {
      id: `run-${place + 1}`,
      day: addDays(AS_OF, whole(5, weeks * 7)),
      strainIds: [strains[place % strains.length].id],
      minGrams: Math.round(targetGrams * 0.8),
      targetGrams,
      maxGrams: Math.round(targetGrams * 1.2),
      priority: 1,
      slackDays: 0,
    };
  });
  return {
    asOf: AS_OF,
    horizonDays: weeks * 7,
    rhythm: {
      benchWeekdays: seed % 3 === 0 ? [6, 3] : [6],
      closedDays: [],
      benchContainersPerDay: 7,
      benchMinutesPerDay: null,
      benchMinutesPerContainer: 6,
      vesselPlaces: 7,
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
        ripeGrams,
        inoculumFactor: 1,
        vesselPlaces: 1,
        shelfPlaces: 1,
        cleanEmpty: whole(4, 12),
      },
    ],
    stock,
    runs,
    rooms: [
      { id: 'cupboard', kind: 'incubation', places: 24, temperatureC: 22 },
      { id: 'fridge', kind: 'cold', places: 8, temperatureC: 4 },
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
  };
}

/** Makes a farm. `tightness` is bench and steriliser capacity over what the runs need on average. */
export function generateFarm(options) {
  const { seed, strains: strainCount, weeks, runs: runCount, tightness, sizes: sizeCount = 2 } = options;
  const random = mulberry32(seed * 7919 + 17);
  const pick = (low, high) => low + random() * (high - low);
  const whole = (low, high) => Math.floor(pick(low, high + 1));
  const horizonDays = weeks * 7;
  const benchWeekdays = options.benchWeekdays ?? [1, 4];
  const sizes = [
    {
      id: 'jar-1l',
      volumeMl: 1000,
      ripeGrams: 620,
      inoculumFactor: 1,
      vesselPlaces: 1,
      shelfPlaces: 1,
      cleanEmpty: options.cleanEmpty ?? null,
    },
    {
      id: 'bag-3l',
      volumeMl: 3000,
      ripeGrams: 1900,
      inoculumFactor: 2.5,
      vesselPlaces: 3,
      shelfPlaces: 2,
      cleanEmpty: null,
    },
  ].slice(0, sizeCount);
  const strains = Array.from({ length: strainCount }, (_, place) => strainProfile(place, options, pick, whole));
  const runs = Array.from({ length: runCount }, (_, place) => {
    const strain = place % strainCount;
    const targetGrams = Math.round(pick(8, 30)) * 250;
    const other = (strain + 1) % strainCount;
    return {
      id: `run-${String(place + 1).padStart(2, '0')}`,
      day: addDays(AS_OF, Math.min(horizonDays, whole(3, horizonDays))),
      strainIds:
        options.choices === 2 && place % 3 === 0 ? [`strain-${strain}`, `strain-${other}`] : [`strain-${strain}`],
      minGrams: Math.round(targetGrams * 0.8),
      targetGrams,
      maxGrams: Math.round(targetGrams * 1.2),
      priority: 1 + (place % 3),
      slackDays: options.slackDays ?? 0,
    };
  });
  const totalGrams = runs.reduce((sum, run) => sum + run.targetGrams, 0);
  const jarsPerBenchDay = Math.ceil(((totalGrams / 620) * 1.25 * tightness) / (weeks * benchWeekdays.length));
  const stock = strains.flatMap((strain, place) =>
    strainStock(strain, place, totalGrams / strainCount / weeks, pick, whole),
  );
  const shelf = (options.shelfTightness ?? 1.5) * (totalGrams / 620 / weeks);
  return {
    asOf: AS_OF,
    horizonDays,
    rhythm: {
      benchWeekdays,
      closedDays: [addDays(AS_OF, 32), addDays(AS_OF, 39)],
      benchContainersPerDay: jarsPerBenchDay,
      benchMinutesPerDay: null,
      benchMinutesPerContainer: 3,
      vesselPlaces: Math.max(6, Math.ceil(jarsPerBenchDay / 2)),
      cyclesPerPreparationDay: 3,
      preparationLeadDays: 1,
      openedLifeDays: 2,
      washingDays: 1,
    },
    strains,
    sizes,
    stock,
    runs,
    rooms: [
      { id: 'incubation', kind: 'incubation', places: Math.ceil(shelf * 4), temperatureC: 24 },
      { id: 'cold', kind: 'cold', places: Math.ceil(shelf * 3), temperatureC: 3 },
    ],
    costs: {
      perContainerStarted: 1.6,
      perCycle: 4,
      perGramAgedOut: 0.002,
      perGramShort: 0.06,
      perGramBelowTarget: 0.02,
      perGramGeneration: 0.0002,
      perGramDayOld: 0.00003,
    },
  };
}

function strainProfile(place, options, pick, whole) {
  return {
    id: `strain-${place}`,
    species: 'invented',
    inoculumGramsPerContainer: Math.round(pick(20, 62)),
    daysToRipe: whole(11, 19),
    lossRate: Math.round(pick(2, 14)) / 100,
    warmLifeDays: whole(7, 16),
    coldLifeDays: whole(35, 60),
    mayBeChilled: place >= (options.coldSensitive ?? 1),
    lastGeneration: options.lastGeneration ?? 3,
    motherReserve: 1 + (place % 2),
    culture: place % 2 === 0 ? { leadDays: 14, containersPerUnit: 8, costPerUnit: 9 } : null,
  };
}

function strainStock(strain, place, gramsPerWeek, pick, whole) {
  const stock = [];
  const add = (generation, sizeId, grams, state, madeDaysAgo, more = {}) =>
    stock.push({
      code: `S${place}-${String(stock.length + 1).padStart(3, '0')}`,
      strainId: strain.id,
      generation,
      sizeId,
      state,
      madeOn: addDays(AS_OF, -madeDaysAgo),
      ripeOn: null,
      chilledOn: null,
      openedOn: null,
      gramsLeft: grams,
      roomId: null,
      keptAsMother: false,
      survival: null,
      ...more,
    });
  add(0, 'jar-1l', 400, 'ripe', whole(10, 60));
  for (let lot = 0; lot < 5; lot += 1) {
    const generation = 1 + Math.min(2, Math.floor(lot / 2));
    const count = Math.max(1, Math.round(((gramsPerWeek / 620) * pick(0.3, 1)) / (generation === 1 ? 3 : 1)));
    const age = whole(0, strain.daysToRipe + 6);
    for (let each = 0; each < count; each += 1) add(generation, 'jar-1l', ...lotJar(strain, lot, age));
  }
  add(1, 'jar-1l', 620, 'ripe', strain.daysToRipe + 2, { keptAsMother: true });
  add(2, 'jar-1l', 310, 'opened', strain.daysToRipe + 5, { openedOn: addDays(AS_OF, -1) });
  return stock;
}

/** State of the jars of one lot: incubating, ripe, or chilled when they were ripe. */
function lotJar(strain, lot, age) {
  const ripe = age >= strain.daysToRipe;
  const cold = ripe && strain.mayBeChilled && lot % 2 === 0;
  const survival = ripe ? 1 : lot % 2 === 0 ? null : 0.97;
  const chilledOn = cold ? addDays(AS_OF, strain.daysToRipe - age) : null;
  return [ripe ? 620 : 0, cold ? 'chilled' : ripe ? 'ripe' : 'incubating', age, { chilledOn, survival }];
}

/** A small, well-known generator of repeatable random numbers. */
function mulberry32(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

function addDays(day, days) {
  return new Date(Date.parse(`${day}T00:00:00Z`) + days * 86_400_000).toISOString().slice(0, 10);
}
