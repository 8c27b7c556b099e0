import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import {
  filledJar,
  findGrain,
  grainBatch,
  grainKinds,
  massToReachMoisture,
  mineralRecipes,
  mixtureMoisture,
  moistureAfterSoaking,
  moistureFromDrying,
  preparationSteps,
  ripeMassG,
  shoppingList,
  spoonfulG,
  usualFilling,
  usualRipeMassG,
  waterPerGramOfGrain,
} from './index.js';

const moisture = fc.double({ min: 0, max: 0.94, noNaN: true });
const noMinerals = mineralRecipes.find(({ key }) => key === 'none')!;
const wanted = { ...usualFilling(1000), jars: 12, spareShare: 0.05, minerals: noMinerals, weighedGrainPerJarG: null };

describe('a batch of grain', () => {
  it('keeps the dry matter while water is taken up', () => {
    fc.assert(
      fc.property(moisture, moisture, fc.double({ min: 1, max: 1e5, noNaN: true }), (from, to, grainG) => {
        fc.pre(to > from + 1e-6);
        const drained = grainG * (1 + waterPerGramOfGrain(from, to));
        expect(moistureAfterSoaking(grainG, from, drained)).toBeCloseTo(to, 9);
      }),
    );
  });

  it('fills a jar with exactly the volume asked for, and its parts add up', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 50, max: 20000, noNaN: true }),
        fc.double({ min: 0.1, max: 1, noNaN: true }),
        (ml, fill) => {
          const jar = filledJar({ ...usualFilling(ml), fillShare: fill });
          expect(jar.grainG + jar.waterTakenUpG).toBeCloseTo(jar.hydratedG, 6);
          expect(jar.hydratedDensityGPerMl * jar.hydratedVolumeMl).toBeCloseTo(jar.hydratedG, 6);
          expect(jar.dryMatterG / jar.hydratedG).toBeCloseTo(0.5, 9);
        },
      ),
    );
  });

  it('gives plausible densities for every grain: wet grain packs at 0.4 to 0.9 g/ml', () => {
    for (const grain of grainKinds) {
      const jar = filledJar({
        ...usualFilling(1000),
        grain: { bulkDensityGPerMl: grain.bulkDensityGPerMl.value, moisture: grain.moisture.value },
      });
      expect(jar.hydratedDensityGPerMl).toBeGreaterThan(0.35);
      expect(jar.hydratedDensityGPerMl).toBeLessThan(0.9);
    }
  });

  it('grows in proportion to the jars and is empty for none', () => {
    const twelve = grainBatch(wanted);
    expect(grainBatch({ ...wanted, jars: 24 }).grainG).toBeCloseTo(twelve.grainG * 2, 9);
    expect(grainBatch({ ...wanted, jars: 0 })).toMatchObject({ grainG: 0, waterTakenUpG: 0, hydratedG: 0, gypsumG: 0 });
    expect(twelve.grainG).toBeCloseTo(twelve.perJar.grainG * 12.6, 9);
  });

  it('takes the weighed jar in place of the derived one', () => {
    const batch = grainBatch({ ...wanted, weighedGrainPerJarG: 250, spareShare: 0 });
    expect(batch.grainG).toBe(3000);
    expect(batch.hydratedG / batch.grainG).toBeCloseTo(1 + waterPerGramOfGrain(0.13, 0.5), 9);
  });

  it('refuses half jars, moistures of a hundred percent and grain wetter than its target', () => {
    expect(() => grainBatch({ ...wanted, jars: 2.5 })).toThrow('whole jars');
    expect(() => waterPerGramOfGrain(0.1, 1)).toThrow('below 1');
    expect(() => waterPerGramOfGrain(Number.NaN, 0.5)).toThrow('below 1');
    expect(() => filledJar({ ...usualFilling(500), targetMoisture: 0.1 })).toThrow('wetter than the target');
    expect(() => filledJar({ ...usualFilling(500), fillShare: 1.2 })).toThrow('cannot be');
    expect(() => grainBatch({ ...wanted, weighedGrainPerJarG: 0 })).toThrow('more than 0 g');
  });

  it('derives ripe grams of a jar from its volume, inoculum in and breath out', () => {
    expect(usualRipeMassG(1000)).toBeGreaterThan(450);
    expect(usualRipeMassG(1000)).toBeLessThan(600);
    const filling = usualFilling(1000);
    expect(ripeMassG(filling, 50, 0)).toBeCloseTo(filledJar(filling).hydratedG + 50, 9);
    expect(ripeMassG(filling, 50)).toBeLessThan(ripeMassG(filling, 50, 0));
    expect(spoonfulG(filling)).toBeGreaterThan(8);
    expect(spoonfulG(filling)).toBeLessThan(12);
  });

  it('tells how far a coarse scale can be trusted', () => {
    const coarse = moistureFromDrying({ wetG: 10, dryG: 5, scaleStepG: 1 });
    expect(coarse).toMatchObject({ moisture: 0.5 });
    expect([coarse.low, coarse.high]).toEqual([1 - 5.5 / 9.5, 1 - 4.5 / 10.5]);
    expect(() => moistureFromDrying({ wetG: 10, dryG: 11, scaleStepG: 0.1 })).toThrow('no more than before');
    expect(() => moistureFromDrying({ wetG: 10, dryG: 1, scaleStepG: 1 })).toThrow('cannot weigh');
  });

  it('says when no amount of a second material reaches the goal', () => {
    expect(massToReachMoisture({ massG: 1000, moisture: 0.7, otherMoisture: 0.65, goalMoisture: 0.6 })).toBeNull();
    expect(massToReachMoisture({ massG: 1000, moisture: 0.6, otherMoisture: 1, goalMoisture: 0.6 })).toBe(0);
    const waterG = massToReachMoisture({ massG: 1000, moisture: 0.1, otherMoisture: 1, goalMoisture: 0.5 })!;
    const parts = [
      { massG: 1000, moisture: 0.1, carbonShare: null, nitrogenShare: null },
      { massG: waterG, moisture: 0.999999999, carbonShare: null, nitrogenShare: null },
    ];
    expect(mixtureMoisture(parts)).toBeCloseTo(0.5, 6);
  });

  it('lists what to buy in whole packs and keeps what is on hand in sight', () => {
    const needs = [
      { item: 'rye', massG: 3000 },
      { item: 'gypsum', massG: 20 },
      { item: 'rye', massG: 4000 },
    ];
    const stock = [
      { item: 'rye', onHandG: 1000, packG: 5000 },
      { item: 'gypsum', onHandG: 500, packG: null },
    ];
    expect(shoppingList(needs, stock)).toEqual([
      { item: 'rye', neededG: 7000, onHandG: 1000, missingG: 6000, packs: 2, buyG: 10000 },
      { item: 'gypsum', neededG: 20, onHandG: 500, missingG: 0, packs: null, buyG: 0 },
    ]);
    expect(() => shoppingList([], [stock[0]!, stock[0]!])).toThrow('twice');
    expect(() => shoppingList([{ item: 'rye', massG: -1 }], [])).toThrow('no need of -1 g');
  });

  it('rests simmered grain only when it was not soaked first', () => {
    expect(preparationSteps(true).map(({ key }) => key)).toEqual(['soak', 'simmer', 'drain']);
    expect(preparationSteps(false).map(({ key }) => key)).toEqual(['simmer', 'stand', 'drain', 'rest']);
    expect(findGrain(' RYE ')?.key).toBe('rye');
    expect(findGrain('quinoa')).toBeNull();
  });
});
