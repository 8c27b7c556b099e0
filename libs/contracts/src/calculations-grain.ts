import {
  grainBatch,
  massToReachMoisture,
  mineralRecipes,
  moistureAfterSoaking,
  moistureFromDrying,
  ripeMassG,
  shoppingList,
  waterPerGramOfGrain,
} from '@jarfold/domain';
import { z } from 'zod';
import {
  type Calculation,
  countSchema,
  defineCalculation,
  fractionSchema,
  massSchema,
  moistureSchema,
} from './calculation.js';

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

export const grainCalculations: readonly Calculation[] = [
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
];
