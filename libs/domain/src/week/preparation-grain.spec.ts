import { describe, expect, it } from '@jest/globals';
import { preparationGrain } from './preparation-grain.js';

const rye = { grainKey: 'rye', targetMoisture: 0.5 };

describe('preparationGrain', () => {
  it('adds up sizes, and twice the jars take twice the grain', () => {
    const litres = preparationGrain([{ volumeMl: 1000, count: 7 }], rye);
    const mixed = preparationGrain(
      [
        { volumeMl: 1000, count: 7 },
        { volumeMl: 500, count: 14 },
      ],
      rye,
    );
    expect(Math.abs(mixed.dryGrainG - 2 * litres.dryGrainG)).toBeLessThanOrEqual(1);
  });

  it('takes up the water that brings the mass to its target moisture', () => {
    // Rye is bought at 13 % moisture (The Mushroom Cultivator, p. 43): water over total mass must be the target.
    const { dryGrainG, waterTakenUpG } = preparationGrain([{ volumeMl: 1000, count: 20 }], rye);
    expect((dryGrainG * 0.13 + waterTakenUpG) / (dryGrainG + waterTakenUpG)).toBeCloseTo(0.5, 3);
  });

  it('gives one gram of gypsum to two hundred of rye (Growing Gourmet and Medicinal Mushrooms, p. 130)', () => {
    const { dryGrainG, gypsumG, chalkG } = preparationGrain([{ volumeMl: 1000, count: 40 }], rye);
    expect(gypsumG).toBe(Math.round(dryGrainG / 200));
    expect(chalkG).toBe(0);
  });

  it('needs nothing for no jars', () => {
    expect(preparationGrain([], rye)).toMatchObject({ dryGrainG: 0, cookingWaterMl: 0 });
  });
});
