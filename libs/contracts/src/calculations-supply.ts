import {
  calendarDay,
  convertSpawnRate,
  croston,
  dayFromNumber,
  dayNumber,
  demandForecast,
  expansionChain,
  type ForecastMethod,
  findSpecies,
  fitHolt,
  fitSimpleSmoothing,
  formatIsoWeek,
  grainBatch,
  isoWeekday,
  type MarginalCosts,
  massToReachMoisture,
  meanAbsoluteScaledError,
  mineralRecipes,
  moistureAfterSoaking,
  moistureFromDrying,
  newsvendor,
  readCode,
  ripeMassG,
  runsForHarvest,
  type SpawnRateBasis,
  shoppingList,
  silverMeal,
  spawnForRun,
  startsForGood,
  startsForGoodLot,
  strainDefaults,
  tsb,
  wagnerWhitin,
  waterPerGramOfGrain,
} from '@jarfold/domain';
import { z } from 'zod';
import {
  type Calculation,
  countSchema,
  daysSchema,
  defineCalculation,
  estimateSchema,
  fractionSchema,
  levelSchema,
  massSchema,
  moistureSchema,
  notEnoughDataSchema,
} from './calculation.js';

const daySchema = z.iso.date();
const basisSchema = z.enum(['wet/wet', 'wet/dry', 'dry/dry'] satisfies SpawnRateBasis[]);
const moisturesSchema = { substrateMoisture: moistureSchema.default(0.65), spawnMoisture: moistureSchema.default(0.5) };
const fillingSchema = {
  jarVolumeMl: z.number().gt(0),
  fillShare: z.number().gt(0).max(1).default(0.75),
  bulkDensityGPerMl: z.number().gt(0).default(0.75),
  grainMoisture: moistureSchema.default(0.13),
  targetMoisture: moistureSchema.default(0.5),
};
const filling = (input: {
  jarVolumeMl: number;
  fillShare: number;
  bulkDensityGPerMl: number;
  grainMoisture: number;
  targetMoisture: number;
}) => ({
  jarVolumeMl: input.jarVolumeMl,
  fillShare: input.fillShare,
  grain: { bulkDensityGPerMl: input.bulkDensityGPerMl, moisture: input.grainMoisture },
  targetMoisture: input.targetMoisture,
});
const wetBasis = 'Wet basis (GGMM p. 130): water per total mass';
const seriesSchema = z.array(z.number().min(0));
const intermittentSchema = z.object({ perPeriod: z.number(), size: z.number(), intervalOrChance: z.number() });
const methodSchema = z.enum(['mean', 'last', 'simple', 'trend', 'intermittent', 'fading'] satisfies ForecastMethod[]);

export const supplyCalculations: readonly Calculation[] = [
  defineCalculation({
    name: 'grain-batch',
    purpose: 'Dry grain, water and minerals for a number of jars.',
    source: `${wetBasis}; swelling derived, checked on ICAR’s half-litre bottle`,
    input: z.strictObject({
      jars: countSchema,
      ...fillingSchema,
      spareShare: fractionSchema.default(0.05),
      minerals: z.enum(['gypsum-half-percent', 'gypsum-and-chalk', 'chalk', 'none']).default('gypsum-half-percent'),
      weighedGrainPerJarG: z.number().gt(0).nullable().default(null),
    }),
    output: z.object({
      jars: z.number(),
      grainG: z.number(),
      waterTakenUpG: z.number(),
      cookingWaterMl: z.number(),
      hydratedG: z.number(),
      gypsumG: z.number(),
      chalkG: z.number(),
      perJar: z.object({
        grainG: z.number(),
        dryMatterG: z.number(),
        waterTakenUpG: z.number(),
        hydratedG: z.number(),
        hydratedVolumeMl: z.number(),
        hydratedDensityGPerMl: z.number(),
      }),
    }),
    example: { jars: 12, jarVolumeMl: 1000 },
    run: ({ jars, spareShare, minerals, weighedGrainPerJarG, ...fill }) =>
      grainBatch({
        jars,
        ...filling(fill),
        spareShare,
        minerals: mineralRecipes.find(({ key }) => key === minerals)!,
        weighedGrainPerJarG,
      }),
  }),
  defineCalculation({
    name: 'water-for-grain',
    purpose: 'Water that grain takes up to reach a moisture.',
    source: wetBasis,
    input: z.strictObject({ grainG: massSchema, grainMoisture: moistureSchema, targetMoisture: moistureSchema }),
    output: z.object({ waterG: z.number() }),
    example: { grainG: 10000, grainMoisture: 0.12, targetMoisture: 0.5 },
    run: ({ grainG, grainMoisture, targetMoisture }) => ({
      waterG: grainG * waterPerGramOfGrain(grainMoisture, targetMoisture),
    }),
  }),
  defineCalculation({
    name: 'moisture-after-soaking',
    purpose: 'Moisture of soaked grain from its mass before and after.',
    source: wetBasis,
    input: z.strictObject({ grainG: z.number().gt(0), grainMoisture: moistureSchema, drainedG: z.number().gt(0) }),
    output: z.object({ moisture: z.number() }),
    example: { grainG: 1000, grainMoisture: 0.12, drainedG: 1760 },
    run: ({ grainG, grainMoisture, drainedG }) => ({ moisture: moistureAfterSoaking(grainG, grainMoisture, drainedG) }),
  }),
  defineCalculation({
    name: 'moisture-from-drying',
    purpose: 'Moisture of a dried sample, with what the scale’s step allows.',
    source: 'Oven test: 100 g, 8 h at 150 °C (GGMM p. 130)',
    input: z.strictObject({ wetG: z.number().gt(0), dryG: z.number().gt(0), scaleStepG: z.number().gt(0) }),
    output: z.object({ moisture: z.number(), low: z.number(), high: z.number() }),
    example: { wetG: 10, dryG: 2.3, scaleStepG: 0.1 },
    run: (test) => moistureFromDrying(test),
  }),
  defineCalculation({
    name: 'mass-to-reach-moisture',
    purpose: 'How much of a second material (or water, moisture 1) brings a mixture to a moisture.',
    source: 'Cornell Waste Management Institute, compost mixture formula',
    input: z.strictObject({
      massG: z.number().gt(0),
      moisture: moistureSchema,
      otherMoisture: fractionSchema,
      goalMoisture: z.number().gt(0).lt(1),
    }),
    output: z.object({ massG: z.number().nullable() }),
    example: { massG: 10000, moisture: 0.77, otherMoisture: 0.35, goalMoisture: 0.6 },
    run: (wanted) => ({ massG: massToReachMoisture(wanted) }),
  }),
  defineCalculation({
    name: 'ripe-mass',
    purpose: 'Grams of ripe spawn in a full jar: a start, until one is weighed.',
    source: 'Derived from filling; loss by respiration 3 %, common practice, no source',
    input: z.strictObject({
      ...fillingSchema,
      inoculumG: massSchema.default(0),
      lossShare: z.number().min(0).lt(1).default(0.03),
    }),
    output: z.object({ ripeG: z.number() }),
    example: { jarVolumeMl: 1000, inoculumG: 50 },
    run: ({ inoculumG, lossShare, ...fill }) => ({ ripeG: ripeMassG(filling(fill), inoculumG, lossShare) }),
  }),
  defineCalculation({
    name: 'shopping-list',
    purpose: 'What to buy, in whole packs.',
    source: 'Sum of needs less what is on hand',
    input: z.strictObject({
      needs: z.array(z.strictObject({ item: z.string(), massG: massSchema })),
      stock: z
        .array(z.strictObject({ item: z.string(), onHandG: massSchema, packG: z.number().gt(0).nullable() }))
        .default([]),
    }),
    output: z.object({
      lines: z.array(
        z.object({
          item: z.string(),
          neededG: z.number(),
          onHandG: z.number(),
          missingG: z.number(),
          packs: z.number().nullable(),
          buyG: z.number(),
        }),
      ),
    }),
    example: { needs: [{ item: 'rye', massG: 7000 }], stock: [{ item: 'rye', onHandG: 1000, packG: 5000 }] },
    run: ({ needs, stock }) => ({ lines: [...shoppingList(needs, stock)] }),
  }),
  defineCalculation({
    name: 'spawn-for-run',
    purpose: 'Grams of ripe spawn a bulk run needs, whatever the rate’s basis.',
    source: 'Definition of the three bases; GGMM p. 128',
    input: z.strictObject({
      substrateWetG: z.number().gt(0),
      spawnRate: z.number().gt(0).max(1),
      basis: basisSchema.default('wet/wet'),
      minShare: fractionSchema.default(0.8),
      maxShare: z.number().min(1).default(1.2),
      ...moisturesSchema,
    }),
    output: z.object({ minG: z.number(), targetG: z.number(), maxG: z.number(), substrateDryG: z.number() }),
    example: { substrateWetG: 100000, spawnRate: 0.05 },
    run: ({ substrateMoisture, spawnMoisture, ...run }) =>
      spawnForRun({ ...run, moistures: { substrateMoisture, spawnMoisture } }),
  }),
  defineCalculation({
    name: 'convert-spawn-rate',
    purpose: 'The same spawn told on another basis.',
    source: 'GGMM p. 128: 150 lb wet on 1,000 lb dry are 15 % wet/dry and 7.5 % dry/dry',
    input: z.strictObject({ rate: z.number().gt(0).max(1), from: basisSchema, to: basisSchema, ...moisturesSchema }),
    output: z.object({ rate: z.number() }),
    example: { rate: 0.15, from: 'wet/dry', to: 'dry/dry', spawnMoisture: 0.5 },
    run: ({ rate, from, to, ...moistures }) => ({ rate: convertSpawnRate(rate, from, to, moistures) }),
  }),
  defineCalculation({
    name: 'expansion-chain',
    purpose: 'Mothers needed at each step, rounded up.',
    source: 'GGMM p. 138: about one to ten per step',
    input: z.strictObject({ wanted: countSchema, ratios: z.array(z.number().gt(0)) }),
    output: z.object({ levels: z.array(z.number()) }),
    example: { wanted: 120, ratios: [10, 10] },
    run: ({ wanted, ratios }) => ({ levels: [...expansionChain(wanted, ratios)] }),
  }),
  defineCalculation({
    name: 'starts-for-good',
    purpose: 'Jars to start so that enough end clean, with a chance.',
    source: 'Binomial; beta-binomial when lots share good and bad days (cleanA, cleanB)',
    input: z.strictObject({
      good: countSchema.max(10_000),
      cleanRate: z.number().gt(0).max(1),
      priorJars: z.number().gt(0).nullable().default(null),
      assurance: z.number().gt(0).lt(1).default(0.95),
    }),
    output: z.object({ starts: z.number(), byDivision: z.number() }),
    example: { good: 10, cleanRate: 0.8 },
    run: ({ good, cleanRate, priorJars, assurance }) => ({
      starts:
        priorJars === null
          ? startsForGood(good, cleanRate, assurance)
          : startsForGoodLot(
              good,
              { a: cleanRate * priorJars, b: Math.max(1e-9, (1 - cleanRate) * priorJars) },
              assurance,
            ),
      byDivision: Math.ceil(good / cleanRate),
    }),
  }),
  defineCalculation({
    name: 'simple-smoothing',
    purpose: 'Next value of a series without a trend.',
    source: 'Hyndman and Athanasopoulos, Forecasting: Principles and Practice',
    input: z.strictObject({ values: z.array(z.number()).min(3) }),
    output: z.object({ forecast: z.number(), alpha: z.number(), start: z.number(), rootMeanSquare: z.number() }),
    example: { values: [445.36, 453.2, 454.41, 422.38, 456.04, 440.39, 425.19, 486.21] },
    run: ({ values }) => {
      const { level, alpha, start, rootMeanSquare } = fitSimpleSmoothing(values);
      return { forecast: level, alpha, start, rootMeanSquare };
    },
  }),
  defineCalculation({
    name: 'holt',
    purpose: 'Next values of a series with a trend.',
    source: 'Holt 1957; Hyndman and Athanasopoulos',
    input: z.strictObject({ values: z.array(z.number()).min(5), ahead: z.int().min(1).max(52).default(1) }),
    output: z.object({
      forecast: z.array(z.number()),
      alpha: z.number(),
      beta: z.number(),
      level: z.number(),
      trend: z.number(),
      rootMeanSquare: z.number(),
    }),
    example: { values: [17.55, 21.86, 23.89, 26.93, 26.89, 28.83, 30.08, 30.95], ahead: 3 },
    run: ({ values, ahead }) => {
      const { level, trend, alpha, beta, rootMeanSquare } = fitHolt(values);
      return {
        forecast: Array.from({ length: ahead }, (_, i) => level + (i + 1) * trend),
        alpha,
        beta,
        level,
        trend,
        rootMeanSquare,
      };
    },
  }),
  defineCalculation({
    name: 'croston',
    purpose: 'Mean demand per period of a series with empty periods.',
    source: 'Croston 1972; correction of Syntetos and Boylan 2005',
    input: z.strictObject({
      values: seriesSchema,
      alpha: z.number().gt(0).max(1).default(0.1),
      correction: z.enum(['none', 'sba']).default('none'),
    }),
    output: intermittentSchema,
    example: { values: [0, 5, 0, 0, 4, 0, 7] },
    run: ({ values, alpha, correction }) => croston(values, alpha, correction),
  }),
  defineCalculation({
    name: 'tsb',
    purpose: 'Mean demand per period of a series that may have stopped.',
    source: 'Teunter, Syntetos and Babai, EJOR 214 (2011)',
    input: z.strictObject({
      values: seriesSchema,
      alpha: z.number().gt(0).max(1).default(0.1),
      beta: z.number().gt(0).max(1).default(0.1),
    }),
    output: intermittentSchema,
    example: { values: [0, 5, 0, 0, 4, 0, 7, 0, 0, 0] },
    run: ({ values, alpha, beta }) => tsb(values, alpha, beta),
  }),
  defineCalculation({
    name: 'demand-forecast',
    purpose: 'Spawn wanted beyond the planned runs, by the method that erred least so far.',
    source: 'Rolling one-step errors of six methods',
    input: z.strictObject({ historyG: seriesSchema, ahead: z.int().min(1).max(52).default(4), level: levelSchema }),
    output: z.discriminatedUnion('kind', [
      z.object({
        kind: z.literal('forecast'),
        method: methodSchema,
        weeks: z.array(estimateSchema),
        tried: z.array(z.object({ method: methodSchema, meanAbsoluteError: z.number() })),
      }),
      notEnoughDataSchema,
    ]),
    example: { historyG: [5000, 5200, 4800, 5100, 0, 5300, 4900, 5000, 5100, 4700], ahead: 2 },
    run: ({ historyG, ahead, level }) => {
      const forecast = demandForecast(historyG, ahead, level);
      return forecast.kind === 'forecast'
        ? { ...forecast, weeks: [...forecast.weeks], tried: [...forecast.tried] }
        : forecast;
    },
  }),
  defineCalculation({
    name: 'mean-absolute-scaled-error',
    purpose: 'How a forecast compares with repeating the last value.',
    source: 'Hyndman and Koehler 2006',
    input: z.strictObject({
      training: z.array(z.number()).min(2),
      actual: z.array(z.number()).min(1),
      forecast: z.array(z.number()).min(1),
    }),
    output: z.object({ error: z.number() }),
    example: { training: [10, 12, 11, 13, 12, 14, 13, 15], actual: [14, 16, 15], forecast: [14.5, 14.5, 14.5] },
    run: ({ training, actual, forecast }) => ({ error: meanAbsoluteScaledError(training, actual, forecast) }),
  }),
  defineCalculation({
    name: 'runs-for-harvest',
    purpose: 'From promised harvest back to bulk runs.',
    source: 'Backward scheduling with flushes; checked by hand and by balance',
    input: z.strictObject({
      promises: z.array(z.strictObject({ id: z.string(), day: daySchema, freshG: massSchema })),
      efficiency: z.number().gt(0),
      shares: z.array(fractionSchema).min(1),
      daysToFirstHarvest: countSchema.max(730),
      daysBetweenFlushes: countSchema.max(730),
      lossRate: z.number().min(0).lt(1).default(0),
      keepsDays: countSchema.max(60).default(4),
      today: daySchema,
      spawningWeekdays: z.array(z.int().min(1).max(7)).min(1).default([1, 2, 3, 4, 5, 6, 7]),
    }),
    output: z.object({
      runs: z.array(z.object({ day: daySchema, substrateDryG: z.number(), serves: z.array(z.string()) })),
      tooLate: z.array(z.object({ id: z.string(), missingG: z.number(), spawnBy: daySchema })),
      surplusG: z.number(),
    }),
    example: {
      promises: [{ id: 'market', day: '2026-12-19', freshG: 4320 }],
      efficiency: 0.8,
      shares: [0.6, 0.4],
      daysToFirstHarvest: 24,
      daysBetweenFlushes: 12,
      lossRate: 0.1,
      today: '2026-11-20',
    },
    run: ({ promises, today, spawningWeekdays, ...habit }) => {
      const number = (day: string) => dayNumber(calendarDay(day));
      const plan = runsForHarvest(
        promises.map(({ id, day, freshG }) => ({ id, day: number(day), freshG })),
        habit,
        number(today),
        (day) => spawningWeekdays.includes(isoWeekday(dayFromNumber(day))),
      );
      return {
        runs: plan.runs.map(({ day, substrateDryG, serves }) => ({
          day: dayFromNumber(day) as string,
          substrateDryG,
          serves: [...serves],
        })),
        tooLate: plan.tooLate.map(({ id, missingG, spawnBy }) => ({
          id,
          missingG,
          spawnBy: dayFromNumber(spawnBy) as string,
        })),
        surplusG: plan.surplusG,
      };
    },
  }),
  defineCalculation({
    name: 'newsvendor',
    purpose: 'How much to have ready for one uncertain demand.',
    source: 'Porteus and Gallego as quoted by R’s SCperf',
    input: z.strictObject({
      mean: z.number().gt(0),
      deviation: z.number().gt(0),
      costShort: z.number().gt(0),
      costOver: z.number().gt(0),
    }),
    output: z.object({
      quantity: z.number(),
      criticalRatio: z.number(),
      expectedCost: z.number(),
      fillRate: z.number(),
    }),
    example: { mean: 100, deviation: 30, costShort: 3, costOver: 1 },
    run: ({ mean, deviation, costShort, costOver }) =>
      newsvendor(mean, deviation, { short: costShort, over: costOver } satisfies MarginalCosts),
  }),
  defineCalculation({
    name: 'lot-sizing',
    purpose: 'When to make how much, with a cost for each start and for keeping.',
    source: 'Wagner and Whitin 1958 (the least cost, proven); Silver and Meal’s rule of thumb',
    input: z.strictObject({
      demand: seriesSchema.min(1),
      setupCost: z.union([z.number().min(0), z.array(z.number().min(0))]),
      holdingCost: z.number().min(0),
      method: z.enum(['wagner-whitin', 'silver-meal']).default('wagner-whitin'),
    }),
    output: z.object({ lots: z.array(z.number()), cost: z.number() }),
    example: {
      demand: [69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56],
      setupCost: [85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114],
      holdingCost: 1,
    },
    run: ({ method, ...problem }) => {
      const { lots, cost } = method === 'wagner-whitin' ? wagnerWhitin(problem) : silverMeal(problem);
      return { lots: [...lots], cost };
    },
  }),
  defineCalculation({
    name: 'species-defaults',
    purpose: 'The numbers a strain of a species starts with, each with its source.',
    source: 'docs/sources.md',
    input: z.strictObject({ species: z.string().min(1), ripeGrams: z.number().gt(0).default(500) }),
    output: z.object({
      species: z.string(),
      known: z.boolean(),
      inoculumGramsPerContainer: z.number(),
      daysToRipe: daysSchema,
      lossRate: fractionSchema,
      warmLifeDays: daysSchema,
      coldLifeDays: daysSchema,
      mayBeChilled: z.boolean(),
      lastGeneration: countSchema,
      daysToRipeFrom: z.object({ source: z.string(), confidence: z.string() }),
    }),
    example: { species: 'lion’s mane' },
    run: ({ species, ripeGrams }) => {
      const { kind, profile } = findSpecies(species);
      const { source, confidence } = profile.spawn.daysToRipe;
      return {
        species: profile.latinName,
        known: kind === 'known',
        ...strainDefaults(species, ripeGrams),
        daysToRipeFrom: { source, confidence },
      };
    },
  }),
  defineCalculation({
    name: 'read-code',
    purpose: 'What a lot’s or jar’s code says.',
    source: 'ISO 8601 week; Jarfold’s own code, see docs/calculations.md',
    input: z.strictObject({ code: z.string() }),
    output: z.discriminatedUnion('kind', [
      z.object({ kind: z.literal('lot'), strain: z.string(), week: z.string(), serial: z.number() }),
      z.object({
        kind: z.literal('jar'),
        strain: z.string(),
        week: z.string(),
        serial: z.number(),
        number: z.number(),
      }),
      z.object({ kind: z.literal('neither') }),
    ]),
    example: { code: 'OY3-26W48-2/07' },
    run: ({ code }) => {
      const read = readCode(code);
      if (read.kind === 'neither') return read;
      const lot = read.kind === 'lot' ? read.lot : read.jar.lot;
      const told = { strain: lot.strain as string, week: formatIsoWeek(lot.week), serial: lot.serial };
      return read.kind === 'lot'
        ? { kind: 'lot' as const, ...told }
        : { kind: 'jar' as const, ...told, number: read.jar.number };
    },
  }),
];
