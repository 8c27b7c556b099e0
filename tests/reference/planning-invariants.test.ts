import { addDays, calendarDay } from '@jarfold/domain';
import { checkPlan, type FarmSituation, planSpawn } from '@jarfold/domain/planning';
import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { kitchen, stockJar } from './planning-kitchen.js';

const AS_OF = calendarDay('2026-11-25');

/** Any small farm: one or two strains and sizes, any stock, any runs, tight or roomy limits, sensible or not. */
const anyFarm: fc.Arbitrary<FarmSituation> = fc
  .record({
    strainCount: fc.integer({ min: 1, max: 2 }),
    daysToRipe: fc.integer({ min: 3, max: 16 }),
    lossPercent: fc.integer({ min: 0, max: 40 }),
    warmLifeDays: fc.integer({ min: 0, max: 20 }),
    coldLifeDays: fc.integer({ min: 0, max: 50 }),
    mayBeChilled: fc.boolean(),
    lastGeneration: fc.integer({ min: 0, max: 3 }),
    motherReserve: fc.integer({ min: 0, max: 2 }),
    hasCulture: fc.boolean(),
    benchWeekdays: fc.subarray([1, 2, 3, 4, 5, 6, 7] as const),
    benchContainers: fc.integer({ min: 0, max: 12 }),
    vesselPlaces: fc.integer({ min: 0, max: 9 }),
    cycles: fc.integer({ min: 0, max: 2 }),
    leadDays: fc.integer({ min: 0, max: 2 }),
    openedLifeDays: fc.integer({ min: 0, max: 3 }),
    cleanEmpty: fc.option(fc.integer({ min: 0, max: 8 }), { nil: null }),
    twoSizes: fc.boolean(),
    incubationPlaces: fc.option(fc.integer({ min: 0, max: 20 }), { nil: null }),
    coldPlaces: fc.option(fc.integer({ min: 0, max: 8 }), { nil: null }),
    closed: fc.uniqueArray(fc.integer({ min: 0, max: 40 }), { maxLength: 4 }),
    jars: fc.array(
      fc.record({
        strain: fc.integer({ min: 0, max: 1 }),
        generation: fc.integer({ min: 0, max: 3 }),
        state: fc.constantFrom('incubating', 'ripe', 'chilled', 'opened'),
        age: fc.integer({ min: 0, max: 30 }),
        grams: fc.integer({ min: 0, max: 500 }),
        kept: fc.boolean(),
        survival: fc.constantFrom(null, 1, 0.8),
      }),
      { maxLength: 8 },
    ),
    runs: fc.array(
      fc.record({
        day: fc.integer({ min: -3, max: 50 }),
        target: fc.integer({ min: 0, max: 3000 }),
        minimum: fc.integer({ min: 0, max: 100 }),
        strains: fc.subarray([0, 1], { minLength: 1 }),
        slack: fc.integer({ min: 0, max: 2 }),
        priority: fc.integer({ min: 1, max: 3 }),
      }),
      { maxLength: 5 },
    ),
  })
  .map((seen): FarmSituation => {
    const base = kitchen();
    const strainIds = ['oyster', 'second'].slice(0, seen.strainCount);
    const size = { ...base.sizes[0]!, cleanEmpty: seen.cleanEmpty };
    const bag = {
      ...size,
      id: 'bag',
      ripeGrams: 1300,
      inoculumFactor: 2.5,
      vesselPlaces: 3,
      shelfPlaces: 2,
      cleanEmpty: null,
    };
    return {
      asOf: AS_OF,
      horizonDays: 45,
      rhythm: {
        ...base.rhythm,
        benchWeekdays: seen.benchWeekdays,
        closedDays: seen.closed.map((day) => addDays(AS_OF, day)),
        benchContainersPerDay: seen.benchContainers,
        vesselPlaces: seen.vesselPlaces,
        cyclesPerPreparationDay: seen.cycles,
        preparationLeadDays: seen.leadDays,
        openedLifeDays: seen.openedLifeDays,
      },
      strains: strainIds.map((id) => ({
        ...base.strains[0]!,
        id,
        daysToRipe: seen.daysToRipe,
        lossRate: seen.lossPercent / 100,
        warmLifeDays: seen.warmLifeDays,
        coldLifeDays: seen.coldLifeDays,
        mayBeChilled: seen.mayBeChilled,
        lastGeneration: seen.lastGeneration,
        motherReserve: seen.motherReserve,
        culture: seen.hasCulture ? { leadDays: 5, containersPerUnit: 3, costPerUnit: 4, unitsAvailable: 2 } : null,
      })),
      sizes: seen.twoSizes ? [size, bag] : [size],
      stock: seen.jars.map((each, place) =>
        stockJar({
          code: `J-${place}`,
          strainId: strainIds[each.strain % strainIds.length]!,
          generation: each.generation,
          state: each.state as 'ripe',
          madeOn: addDays(AS_OF, -each.age),
          ripeOn: null,
          chilledOn: each.state === 'chilled' ? addDays(AS_OF, -Math.min(each.age, 3)) : null,
          openedOn: each.state === 'opened' ? addDays(AS_OF, -1) : null,
          gramsLeft: each.grams,
          keptAsMother: each.kept,
          survival: each.survival,
        }),
      ),
      runs: seen.runs.map((each, place) => ({
        id: `run-${place}`,
        day: addDays(AS_OF, each.day),
        strainIds: each.strains.map((strain) => strainIds[strain] ?? 'unknown'),
        minGrams: Math.round((each.target * each.minimum) / 100),
        targetGrams: each.target,
        maxGrams: Math.round(each.target * 1.2),
        priority: each.priority,
        slackDays: each.slack,
      })),
      rooms: [
        ...(seen.incubationPlaces === null
          ? []
          : [{ id: 'i', kind: 'incubation' as const, places: seen.incubationPlaces, temperatureC: 22 }]),
        ...(seen.coldPlaces === null
          ? []
          : [{ id: 'c', kind: 'cold' as const, places: seen.coldPlaces, temperatureC: 3 }]),
      ],
      costs: base.costs,
    };
  });

describe('any plan', () => {
  it('uses no gram twice, none before it is ripe or after it is too old, and stays within every limit', async () => {
    await fc.assert(
      fc.asyncProperty(anyFarm, async (farm) => {
        const plan = await planSpawn(farm, { exact: 'never', evaluationsPerStrain: 200 });
        expect(checkPlan(farm, plan).faults).toEqual([]);
        expect(plan.bound).toBeLessThanOrEqual(plan.cost + 1e-9 * (1 + plan.cost));
      }),
      { numRuns: 120, seed: 20261125 },
    );
  });

  it('is the same for the same farm, and no dearer with a larger budget of proof', async () => {
    await fc.assert(
      fc.asyncProperty(anyFarm, async (farm) => {
        const options = { exact: 'never', evaluationsPerStrain: 150 } as const;
        const plan = await planSpawn(farm, options);
        expect(await planSpawn(farm, options)).toEqual(plan);
        const proven = await planSpawn(farm, { ...options, exact: 'always', guardMs: 3_000 });
        expect(checkPlan(farm, proven).faults).toEqual([]);
        expect(proven.cost).toBeLessThanOrEqual(plan.cost + 1e-6 * (1 + plan.cost));
        expect(proven.bound).toBeGreaterThanOrEqual(plan.bound - 1e-6 * (1 + plan.cost));
      }),
      { numRuns: 12, seed: 7 },
    );
  });
});
