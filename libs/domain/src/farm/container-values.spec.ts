import { describe, expect, it } from '@jest/globals';
import { usualRipeMassG } from '../grain/index.js';
import { containerValues, referenceRipeGrams, usualInoculumFactor } from './container-values.js';

const rye = { grainKey: 'rye', targetMoisture: null };

describe('containerValues', () => {
  it('a size known only by its volume holds what the grain tables derive', () => {
    expect(containerValues({ volumeMl: 1000, ripeGrams: null }, rye).ripeGrams).toMatchObject({
      value: usualRipeMassG(1000),
      origin: 'derived',
    });
    expect(referenceRipeGrams(rye)).toBe(usualRipeMassG(1000));
  });

  it('one weighing replaces the derived mass', () => {
    expect(containerValues({ volumeMl: 1000, ripeGrams: 612 }, rye).ripeGrams).toMatchObject({
      value: 612,
      origin: 'farm',
    });
  });

  it('a lighter grain fills a jar with fewer grams', () => {
    const oats = containerValues({ volumeMl: 1000, ripeGrams: null }, { grainKey: 'oats', targetMoisture: 0.5 });
    expect(oats.dryGrainG.value).toBeLessThan(
      containerValues({ volumeMl: 1000, ripeGrams: null }, rye).dryGrainG.value,
    );
  });

  it('says so when the grain is not known, or wetter than its target', () => {
    expect(() =>
      containerValues({ volumeMl: 1000, ripeGrams: null }, { grainKey: 'gravel', targetMoisture: 0.5 }),
    ).toThrow('gravel');
    expect(() =>
      containerValues({ volumeMl: 1000, ripeGrams: null }, { grainKey: 'rye', targetMoisture: 0.05 }),
    ).toThrow('wetter');
  });

  it('half a litre takes half the inoculum of a litre', () => {
    expect(usualInoculumFactor(500)).toBe(0.5);
  });
});
