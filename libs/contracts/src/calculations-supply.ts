import {
  calendarDay,
  convertSpawnRate,
  dayFromNumber,
  dayNumber,
  expansionChain,
  findSpecies,
  formatIsoWeek,
  isoWeekday,
  readCode,
  runsForHarvest,
  type SpawnRateBasis,
  spawnForRun,
  startsForGood,
  startsForGoodLot,
  strainDefaults,
} from '@jarfold/domain';
import { z } from 'zod';
import {
  type Calculation,
  countSchema,
  daysSchema,
  defineCalculation,
  fractionSchema,
  massSchema,
  moistureSchema,
} from './calculation.js';

const daySchema = z.iso.date();
const basisSchema = z.enum(['wet/wet', 'wet/dry', 'dry/dry'] satisfies SpawnRateBasis[]);
const moisturesSchema = { substrateMoisture: moistureSchema.default(0.65), spawnMoisture: moistureSchema.default(0.5) };

export const supplyCalculations: readonly Calculation[] = [
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
