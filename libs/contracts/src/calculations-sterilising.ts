import {
  atmosphericPressureKpa,
  boilingPointC,
  cycleVerdict,
  decimalReductionMin,
  gaugePressureFor,
  heatMethods,
  holdForLethality,
  kilopascalsToPsi,
  lethality,
  lethalityOfHold,
  logReduction,
  type MethodKey,
  readTrace,
  saturationPressureKpa,
  saturationTemperatureC,
  steamTemperatureC,
} from '@jarfold/domain';
import { z } from 'zod';
import { type Calculation, defineCalculation } from './calculation.js';

const steam = 'IAPWS-IF97 region 4, IAPWS R7-97(2012)';
const air = 'U.S. Standard Atmosphere 1976';
const food = 'Low-acid food practice: lethal rate 10^((T − Tref)/z)';
const altitudeSchema = z.number().min(-500).max(9000).default(0);
const traceSchema = z.array(z.strictObject({ minute: z.number(), temperatureC: z.number() }));
const referenceSchema = { referenceC: z.number().default(121.1), zC: z.number().gt(0).default(10) };
const methodSchema = z.enum([
  'pressure',
  'boiling_water_steam',
  'two_day_steam',
  'twelve_hour_steam',
] satisfies MethodKey[]);
const ramp = [
  { minute: 0, temperatureC: 100 },
  { minute: 21.1, temperatureC: 121.1 },
  { minute: 36.1, temperatureC: 121.1 },
  { minute: 46.65, temperatureC: 100 },
];

export const sterilisingCalculations: readonly Calculation[] = [
  defineCalculation({
    name: 'saturation-temperature',
    purpose: 'Temperature of steam under an absolute pressure.',
    source: steam,
    input: z.strictObject({ pressureKpa: z.number() }),
    output: z.object({ temperatureC: z.number() }),
    example: { pressureKpa: 205 },
    run: ({ pressureKpa }) => ({ temperatureC: saturationTemperatureC(pressureKpa) }),
  }),
  defineCalculation({
    name: 'saturation-pressure',
    purpose: 'Absolute pressure of steam at a temperature.',
    source: steam,
    input: z.strictObject({ temperatureC: z.number() }),
    output: z.object({ pressureKpa: z.number() }),
    example: { temperatureC: 121.1 },
    run: ({ temperatureC }) => ({ pressureKpa: saturationPressureKpa(temperatureC) }),
  }),
  defineCalculation({
    name: 'atmospheric-pressure',
    purpose: 'Air pressure at an altitude.',
    source: air,
    input: z.strictObject({ altitudeM: altitudeSchema }),
    output: z.object({ pressureKpa: z.number() }),
    example: { altitudeM: 1524 },
    run: ({ altitudeM }) => ({ pressureKpa: atmosphericPressureKpa(altitudeM) }),
  }),
  defineCalculation({
    name: 'boiling-point-at-altitude',
    purpose: 'Temperature at which water boils in an open pot.',
    source: `${steam}; ${air}`,
    input: z.strictObject({ altitudeM: altitudeSchema }),
    output: z.object({ temperatureC: z.number() }),
    example: { altitudeM: 2000 },
    run: ({ altitudeM }) => ({ temperatureC: boilingPointC(altitudeM) }),
  }),
  defineCalculation({
    name: 'steam-temperature',
    purpose: 'Temperature in a vented vessel from its gauge.',
    source: `${steam}; ${air}`,
    input: z.strictObject({ gaugePressureKpa: z.number().min(0), altitudeM: altitudeSchema }),
    output: z.object({ temperatureC: z.number() }),
    example: { gaugePressureKpa: 103.42, altitudeM: 0 },
    run: ({ gaugePressureKpa, altitudeM }) => ({ temperatureC: steamTemperatureC(gaugePressureKpa, altitudeM) }),
  }),
  defineCalculation({
    name: 'gauge-pressure-for',
    purpose: 'What the gauge must read for a temperature; never above the vessel’s rating.',
    source: `${steam}; ${air}; agrees with PNW 421 within 0.35 psi`,
    input: z.strictObject({ temperatureC: z.number(), altitudeM: altitudeSchema, ratedGaugeKpa: z.number().min(0) }),
    output: z.discriminatedUnion('kind', [
      z.object({ kind: z.literal('reachable'), gaugePressureKpa: z.number(), gaugePressurePsi: z.number() }),
      z.object({ kind: z.literal('above rating'), ratedTemperatureC: z.number(), advice: z.string() }),
    ]),
    example: { temperatureC: 121.1, altitudeM: 1524, ratedGaugeKpa: 103.42 },
    run: ({ temperatureC, altitudeM, ratedGaugeKpa }) => {
      const answer = gaugePressureFor(temperatureC, altitudeM, ratedGaugeKpa);
      if (answer.kind === 'reachable')
        return { ...answer, gaugePressurePsi: kilopascalsToPsi(answer.gaugePressureKpa) };
      const advice = 'The vessel is not rated for it. Hold at the rated pressure and lengthen the time (hold-for-f0).';
      return { kind: answer.kind, ratedTemperatureC: answer.ratedTemperatureC, advice };
    },
  }),
  defineCalculation({
    name: 'f0-from-trace',
    purpose: 'F0 of a temperature trace, exact between points.',
    source: food,
    input: z.strictObject({ trace: traceSchema, ...referenceSchema }),
    output: z.object({ f0Min: z.number(), highestC: z.number(), minutes: z.number(), longestGapMin: z.number() }),
    example: { trace: ramp },
    run: ({ trace, referenceC, zC }) => lethality(trace, { temperatureC: referenceC, zC }),
  }),
  defineCalculation({
    name: 'read-trace',
    purpose: 'A logger’s file as text, turned into points; the unit is asked for, never guessed.',
    source: 'Jarfold’s own reading rules, see docs/calculations.md',
    input: z.strictObject({ text: z.string().max(5_000_000), unit: z.enum(['C', 'F']).nullable().default(null) }),
    output: z.discriminatedUnion('kind', [
      z.object({
        kind: z.literal('trace'),
        points: z.array(z.object({ minute: z.number(), temperatureC: z.number() })),
      }),
      z.object({
        kind: z.literal('refused'),
        problems: z.array(z.object({ line: z.number().nullable(), code: z.string(), message: z.string() })),
      }),
    ]),
    example: { text: 'minute;temperature °F\n0;68\n30;250\n', unit: null },
    run: ({ text, unit }) => {
      const read = readTrace(text, unit);
      return read.kind === 'trace'
        ? { kind: read.kind, points: [...read.points] }
        : { kind: read.kind, problems: [...read.problems] };
    },
  }),
  defineCalculation({
    name: 'f0-from-hold',
    purpose: 'F0 of a hold at one temperature, with the time the load takes to get hot taken off.',
    source: food,
    input: z.strictObject({
      holdMin: z.number().min(0),
      temperatureC: z.number(),
      comeUpAllowanceMin: z.number().min(0).default(0),
      ...referenceSchema,
    }),
    output: z.object({ f0Min: z.number() }),
    example: { holdMin: 90, temperatureC: 121.1, comeUpAllowanceMin: 30 },
    run: ({ referenceC, zC, ...hold }) => ({ f0Min: lethalityOfHold(hold, { temperatureC: referenceC, zC }) }),
  }),
  defineCalculation({
    name: 'hold-for-f0',
    purpose: 'How long to hold at a temperature for a wanted F0: the longer time at altitude.',
    source: food,
    input: z.strictObject({
      f0Min: z.number().min(0),
      temperatureC: z.number(),
      comeUpAllowanceMin: z.number().min(0).default(0),
      ...referenceSchema,
    }),
    output: z.object({ holdMin: z.number() }),
    example: { f0Min: 1, temperatureC: 100 },
    run: ({ f0Min, temperatureC, comeUpAllowanceMin, referenceC, zC }) => ({
      holdMin: holdForLethality(f0Min, temperatureC, comeUpAllowanceMin, { temperatureC: referenceC, zC }),
    }),
  }),
  defineCalculation({
    name: 'log-reduction',
    purpose: 'How many times over nine in ten spores are killed by a hold at a temperature.',
    source: 'Decimal reduction: D(T) = D × 10^((Tref − T)/z)',
    input: z.strictObject({
      holdMin: z.number().min(0),
      temperatureC: z.number(),
      dMin: z.number().gt(0),
      ...referenceSchema,
    }),
    output: z.object({ dAtTemperatureMin: z.number(), logReduction: z.number() }),
    example: { holdMin: 15, temperatureC: 121.1, dMin: 1.5 },
    run: ({ holdMin, temperatureC, dMin, referenceC, zC }) => {
      const dAtTemperatureMin = decimalReductionMin(dMin, referenceC, zC, temperatureC);
      return { dAtTemperatureMin, logReduction: logReduction(holdMin, dAtTemperatureMin) };
    },
  }),
  defineCalculation({
    name: 'cycle-verdict',
    purpose: 'Whether a steriliser cycle was as its own method asks.',
    source: 'Method targets in docs/sources.md',
    input: z.strictObject({
      method: methodSchema,
      altitudeM: altitudeSchema,
      declaredHoldMin: z.number().gt(0),
      trace: traceSchema.nullable().default(null),
      holdMin: z.number().min(0).nullable().default(null),
      gaugePressureKpa: z.number().min(0).nullable().default(null),
      comeUpAllowanceMin: z.number().min(0).default(20),
      interrupted: z.boolean().default(false),
    }),
    output: z.object({
      kind: z.enum(['as the method asks', 'departs', 'not enough data']),
      departures: z.array(z.string()),
      f0Min: z.number().nullable(),
      from: z.enum(['trace', 'hold']).nullable(),
      advice: z.array(z.string()),
      holdForTargetMin: z.number().nullable(),
    }),
    example: { method: 'pressure', altitudeM: 1500, declaredHoldMin: 90, holdMin: 60, gaugePressureKpa: 103.4 },
    run: ({ method, ...record }) => {
      const verdict = cycleVerdict({ ...record, method: heatMethods.find(({ key }) => key === method)! });
      return { ...verdict, departures: [...verdict.departures], advice: [...verdict.advice] };
    },
  }),
];
