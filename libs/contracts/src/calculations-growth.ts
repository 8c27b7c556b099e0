import {
  arrheniusRatio,
  biologicalEfficiency,
  calendarDay,
  chilledSurvival,
  dayFromNumber,
  dayNumber,
  daysAtTemperature,
  efficiencyByGroup,
  findSpecies,
  firstExpiredFirstOut,
  fitCardinals,
  flushShares,
  harvestForecast,
  keepingTime,
  meanKineticTemperatureC,
  relativeGrowth,
  runYield,
  spawnRateEffect,
  strainRipening,
} from '@jarfold/domain';
import { z } from 'zod';
import {
  betweenSchema,
  type Calculation,
  countSchema,
  daysSchema,
  defineCalculation,
  estimateOrNotSchema,
  estimateSchema,
  fractionSchema,
  levelSchema,
  massSchema,
  notEnoughDataSchema,
} from './calculation.js';
import { survivalCurveSchema } from './calculations-statistics.js';

const daySchema = z.iso.date();
const number = (day: string): number => dayNumber(calendarDay(day));
const cardinalsSchema = { minC: z.number(), optimumC: z.number(), maxC: z.number() };
const rosso = 'Rosso and others, Applied and Environmental Microbiology 61 (1995) 610–616';
const ripeningSchema = z.object({
  median: estimateSchema,
  earlyDays: z.number(),
  usualDays: z.number(),
  lateDays: z.number(),
  shape: z.number(),
  scaleDays: z.number(),
  ownShare: z.number(),
});

export const growthCalculations: readonly Calculation[] = [
  defineCalculation({
    name: 'cardinal-temperature',
    purpose: 'Growth at a temperature, as a share of the best.',
    source: rosso,
    input: z.strictObject({ temperatureC: z.number(), ...cardinalsSchema }),
    output: z.object({ relativeGrowth: z.number() }),
    example: { temperatureC: 24, minC: 5, optimumC: 28, maxC: 35 },
    run: ({ temperatureC, ...cardinals }) => ({ relativeGrowth: relativeGrowth(temperatureC, cardinals) }),
  }),
  defineCalculation({
    name: 'cardinal-fit',
    purpose: 'Cardinal temperatures from growth measured at six temperatures or more.',
    source: `${rosso}; least squares`,
    input: z.strictObject({ points: z.array(z.strictObject({ temperatureC: z.number(), rate: z.number().min(0) })) }),
    output: z.discriminatedUnion('kind', [
      z.object({
        kind: z.literal('fitted'),
        bestRate: z.number(),
        minC: z.number(),
        optimumC: z.number(),
        maxC: z.number(),
        rootMeanSquare: z.number(),
        n: z.number(),
      }),
      notEnoughDataSchema,
    ]),
    example: {
      points: [
        [8, 0.03],
        [12, 0.23],
        [16, 0.56],
        [20, 0.94],
        [24, 1.31],
        [28, 1.5],
        [32, 1.18],
        [34, 0.62],
      ].map(([temperatureC, rate]) => ({ temperatureC: temperatureC!, rate: rate! })),
    },
    run: ({ points }) => fitCardinals(points),
  }),
  defineCalculation({
    name: 'days-at-temperature',
    purpose: 'Days in another room, from days in one.',
    source: rosso,
    input: z.strictObject({ days: daysSchema, fromC: z.number(), toC: z.number(), ...cardinalsSchema }),
    output: z.object({ days: z.number().nullable() }),
    example: { days: 14, fromC: 24, toC: 20, minC: 5, optimumC: 26, maxC: 35 },
    run: ({ days, fromC, toC, ...cardinals }) => ({ days: daysAtTemperature(days, fromC, toC, cardinals) }),
  }),
  defineCalculation({
    name: 'days-to-ripe',
    purpose: 'Days to ripe of a strain, overall and by generation, from published days and the farm’s own checks.',
    source: 'Published days in docs/sources.md; penalised maximum likelihood on bracketed days',
    input: z.strictObject({
      jars: z.array(
        betweenSchema.extend({ generation: countSchema, temperatureC: z.number().nullable().default(null) }),
      ),
      publishedDays: z.number().gt(0),
      referenceC: z.number(),
      ...cardinalsSchema,
      level: levelSchema,
    }),
    output: z.object({
      all: ripeningSchema,
      byGeneration: z.array(z.object({ generation: z.number(), ripening: ripeningSchema })),
      leftOut: z.number(),
    }),
    example: {
      jars: [
        { afterDays: 9, byDays: 12, generation: 2 },
        { afterDays: 12, byDays: null, generation: 2 },
      ],
      publishedDays: 14,
      referenceC: 24,
      minC: 5,
      optimumC: 26,
      maxC: 35,
    },
    run: ({ jars, publishedDays, referenceC, minC, optimumC, maxC, level }) => {
      const { all, byGeneration, leftOut } = strainRipening(jars, {
        publishedDays,
        referenceC,
        cardinals: { minC, optimumC, maxC },
        level,
      });
      return {
        all,
        byGeneration: [...byGeneration].map(([generation, ripening]) => ({ generation, ripening })),
        leftOut,
      };
    },
  }),
  defineCalculation({
    name: 'keeping-time',
    purpose: 'How long ripe spawn of a species keeps at a temperature, and whether it may be chilled.',
    source: 'Published days in docs/sources.md; Q10 rule elsewhere',
    input: z.strictObject({ species: z.string().min(1), temperatureC: z.number() }),
    output: z.object({
      species: z.string(),
      kind: z.enum(['keeps', 'do not chill']),
      days: z.number().nullable(),
      notBelowC: z.number().nullable(),
      source: z.string(),
      confidence: z.string(),
    }),
    example: { species: 'oyster', temperatureC: 4 },
    run: ({ species, temperatureC }) => {
      const { profile } = findSpecies(species);
      const time = keepingTime(profile, temperatureC);
      return {
        species: profile.latinName,
        kind: time.kind,
        days: time.days,
        notBelowC: time.kind === 'do not chill' ? time.notBelowC : null,
        source: time.from.source,
        confidence: time.from.confidence,
      };
    },
  }),
  defineCalculation({
    name: 'chilled-survival',
    purpose: 'How long chilled jars stay good, from the farm’s own restarts and the published days.',
    source: 'Kaplan–Meier; penalised Weibull fit',
    input: z.strictObject({
      restarts: z.array(z.strictObject({ daysChilled: daysSchema, regrew: z.boolean() })),
      publishedDays: z.number().gt(0),
      level: levelSchema,
    }),
    output: z.object({
      lifeDays: estimateSchema,
      shape: z.number(),
      scaleDays: z.number(),
      curve: survivalCurveSchema,
    }),
    example: {
      restarts: [
        { daysChilled: 45, regrew: true },
        { daysChilled: 80, regrew: false },
      ],
      publishedDays: 60,
    },
    run: ({ restarts, publishedDays, level }) => {
      const { lifeDays, fit, curve } = chilledSurvival(restarts, publishedDays, level);
      return {
        lifeDays,
        shape: fit.shape,
        scaleDays: fit.scaleDays,
        curve: curve.kind === 'curve' ? { ...curve, steps: [...curve.steps] } : curve,
      };
    },
  }),
  defineCalculation({
    name: 'arrhenius-ratio',
    purpose: 'How much faster a process runs at one temperature than at another.',
    source: 'Arrhenius; the gas constant of CODATA 2018',
    input: z.strictObject({
      activationKjPerMol: z.number().gt(0).default(83.144),
      fromC: z.number(),
      toC: z.number(),
    }),
    output: z.object({ ratio: z.number() }),
    example: { activationKjPerMol: 50, fromC: 20, toC: 30 },
    run: ({ activationKjPerMol, fromC, toC }) => ({ ratio: arrheniusRatio(activationKjPerMol, fromC, toC) }),
  }),
  defineCalculation({
    name: 'mean-kinetic-temperature',
    purpose: 'The one steady temperature that ages as much as the readings did.',
    source: 'Pharmacopoeia definition, 83.144 kJ/mol',
    input: z.strictObject({ readingsC: z.array(z.number()).min(1) }),
    output: z.object({ temperatureC: z.number() }),
    example: { readingsC: [3, 4, 4, 9, 4] },
    run: ({ readingsC }) => ({ temperatureC: meanKineticTemperatureC(readingsC) }),
  }),
  defineCalculation({
    name: 'first-expired-first-out',
    purpose: 'Which stock serves which run, and what strands.',
    source: 'Earliest expiry first; equals a maximum matching',
    input: z.strictObject({
      stock: z.array(z.strictObject({ code: z.string(), from: daySchema, last: daySchema, grams: massSchema })),
      demands: z.array(z.strictObject({ id: z.string(), day: daySchema, grams: massSchema })),
    }),
    output: z.object({
      uses: z.array(z.object({ day: daySchema, code: z.string(), demand: z.string(), grams: z.number() })),
      unmet: z.array(z.object({ demand: z.string(), grams: z.number() })),
      stranded: z.array(z.object({ code: z.string(), grams: z.number(), last: daySchema })),
    }),
    example: {
      stock: [{ code: 'OY3-26W46-1/01', from: '2026-11-20', last: '2026-12-20', grams: 500 }],
      demands: [{ id: 'straw', day: '2026-12-01', grams: 300 }],
    },
    run: ({ stock, demands }) => {
      const result = firstExpiredFirstOut(
        stock.map(({ code, from, last, grams }) => ({ code, fromDay: number(from), lastDay: number(last), grams })),
        demands.map(({ id, day, grams }) => ({ id, day: number(day), grams })),
      );
      return {
        uses: result.uses.map(({ day, ...use }) => ({ day: dayFromNumber(day), ...use })),
        unmet: [...result.unmet],
        stranded: result.stranded.map(({ code, grams, lastDay }) => ({ code, grams, last: dayFromNumber(lastDay) })),
      };
    },
  }),
  defineCalculation({
    name: 'biological-efficiency',
    purpose: 'Fresh mushrooms per dry substrate.',
    source: 'Chang and Miles 2004; checked on Jatwa 2016',
    input: z.strictObject({ freshG: massSchema, substrateDryG: z.number().gt(0) }),
    output: z.object({ efficiency: z.number(), percent: z.number() }),
    example: { freshG: 1248.3, substrateDryG: 1500 },
    run: ({ freshG, substrateDryG }) => {
      const efficiency = biologicalEfficiency(freshG, substrateDryG);
      return { efficiency, percent: 100 * efficiency };
    },
  }),
  defineCalculation({
    name: 'run-yield',
    purpose: 'What a run gave, by flush, with the grams beside the ratio.',
    source: 'Definition of biological efficiency',
    input: z.strictObject({
      pickings: z.array(
        z.strictObject({
          day: daySchema,
          flush: z.int().min(1),
          freshG: massSchema,
          saleableG: massSchema.nullable().default(null),
        }),
      ),
      substrateDryG: z.number().gt(0),
      spawnedOn: daySchema,
    }),
    output: z.object({
      freshG: z.number(),
      saleableG: z.number().nullable(),
      substrateDryG: z.number(),
      efficiency: z.number(),
      flushes: z.array(
        z.object({
          flush: z.number(),
          freshG: z.number(),
          share: z.number().nullable(),
          efficiency: z.number(),
          firstDay: daySchema,
        }),
      ),
      daysToFirstHarvest: z.number().nullable(),
      daysBetweenFlushes: z.array(z.number()),
    }),
    example: {
      pickings: [
        { day: '2026-11-01', flush: 1, freshG: 4200 },
        { day: '2026-11-13', flush: 2, freshG: 2100 },
      ],
      substrateDryG: 9500,
      spawnedOn: '2026-09-28',
    },
    run: ({ pickings, substrateDryG, spawnedOn }) => {
      const result = runYield(
        pickings.map(({ day, ...picking }) => ({ day: number(day), ...picking })),
        substrateDryG,
        number(spawnedOn),
      );
      return {
        ...result,
        flushes: result.flushes.map((flush) => ({ ...flush, firstDay: dayFromNumber(flush.firstDay) as string })),
        daysBetweenFlushes: [...result.daysBetweenFlushes],
      };
    },
  }),
  defineCalculation({
    name: 'efficiency-by-group',
    purpose: 'Efficiency by strain, substrate or room, and what it is worth believing with so few runs.',
    source: 'Student’s interval; shrinkage after Morris 1983',
    input: z.strictObject({
      runs: z.array(z.strictObject({ group: z.string(), efficiency: z.number().min(0) })),
      publishedEfficiency: z.number().gt(0),
      level: levelSchema,
    }),
    output: z.object({
      groups: z.array(
        z.object({ key: z.string(), observed: estimateOrNotSchema, shrunk: estimateSchema, runs: z.number() }),
      ),
    }),
    example: {
      runs: [0.8, 0.95, 0.7].map((efficiency) => ({ group: 'OY3 on straw', efficiency })),
      publishedEfficiency: 0.75,
    },
    run: ({ runs, publishedEfficiency, level }) => ({
      groups: [...efficiencyByGroup(runs, publishedEfficiency, level)],
    }),
  }),
  defineCalculation({
    name: 'flush-shares',
    purpose: 'Share of the harvest by flush.',
    source: 'Usual shares: common practice, no source; the farm’s own runs outweigh them',
    input: z.strictObject({ runs: z.array(z.array(massSchema)), flushes: z.int().min(1).max(12) }),
    output: z.object({ shares: z.array(z.number()) }),
    example: { runs: [[4200, 2100, 900]], flushes: 3 },
    run: ({ runs, flushes }) => ({ shares: [...flushShares(runs, flushes)] }),
  }),
  defineCalculation({
    name: 'harvest-forecast',
    purpose: 'Grams expected in each week, with an interval.',
    source: 'Sum of flushes with uncertain day and amount; interval coverage simulated in tests',
    input: z.strictObject({
      runs: z.array(
        z.strictObject({
          id: z.string(),
          spawnedOn: daySchema,
          substrateDryG: z.number().gt(0),
          efficiency: z.number().min(0),
          efficiencyDeviation: z.number().min(0),
          shares: z.array(fractionSchema).min(1),
          daysToFirstHarvest: daysSchema,
          daysBetweenFlushes: daysSchema,
          daysDeviation: daysSchema,
          lossRate: z.number().min(0).lt(1),
        }),
      ),
      firstMonday: daySchema,
      weeks: z.int().min(1).max(104),
      level: levelSchema,
    }),
    output: z.object({
      weeks: z.array(
        z.object({
          monday: daySchema,
          expectedG: z.number(),
          low: z.number(),
          high: z.number(),
          level: z.number(),
          runs: z.array(z.string()),
        }),
      ),
    }),
    example: {
      runs: [
        {
          id: 'straw',
          spawnedOn: '2026-11-02',
          substrateDryG: 10000,
          efficiency: 0.75,
          efficiencyDeviation: 0.2,
          shares: [0.6, 0.4],
          daysToFirstHarvest: 25,
          daysBetweenFlushes: 12,
          daysDeviation: 3,
          lossRate: 0.05,
        },
      ],
      firstMonday: '2026-11-23',
      weeks: 4,
    },
    run: ({ runs, firstMonday, weeks, level }) => ({
      weeks: harvestForecast(
        runs.map(({ spawnedOn, ...run }) => ({ ...run, spawnedOnDay: number(spawnedOn) })),
        number(firstMonday),
        weeks,
        level,
      ).map(({ mondayDay, runs: ids, ...week }) => ({
        monday: dayFromNumber(mondayDay) as string,
        ...week,
        runs: [...ids],
      })),
    }),
  }),
  defineCalculation({
    name: 'spawn-rate-effect',
    purpose: 'What one percentage point more spawn did to the farm’s own runs.',
    source: 'Least squares with Student’s interval',
    input: z.strictObject({
      runs: z.array(z.strictObject({ spawnRate: z.number().gt(0).max(1), outcome: z.number() })),
      level: levelSchema,
    }),
    output: z.discriminatedUnion('kind', [
      z.object({ kind: z.literal('effect'), perPercent: estimateSchema, correlation: z.number() }),
      notEnoughDataSchema,
    ]),
    example: { runs: [2, 3, 4, 5, 6, 7].map((percent) => ({ spawnRate: percent / 100, outcome: 36 - percent })) },
    run: ({ runs, level }) => spawnRateEffect(runs, level),
  }),
];
