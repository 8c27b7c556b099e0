import { describe, expect, it } from '@jest/globals';
import { strainDefaults } from '../species/index.js';
import { type StrainOverrides, speciesValues, strainValues } from './strain-values.js';

const nothingSaid: StrainOverrides = {
  inoculumGramsPerContainer: null,
  daysToRipe: null,
  lossRate: null,
  warmLifeDays: null,
  coldLifeDays: null,
  mayBeChilled: null,
  lastGeneration: null,
};

describe('strainValues', () => {
  it('a farm that said nothing plans with what is published about the species, and sees where that comes from', () => {
    const values = strainValues('pleurotus-ostreatus', nothingSaid, 600);
    expect(Object.fromEntries(Object.entries(values).map(([key, { value }]) => [key, value]))).toEqual(
      strainDefaults('pleurotus-ostreatus', 600),
    );
    for (const value of Object.values(values)) {
      expect(value.origin).toBe('species');
      expect(value.source).not.toBe('');
      expect(value.confidence).not.toBeNull();
    }
  });

  it("the farm's own word stands before the species, also when it is false or zero", () => {
    const values = strainValues('pleurotus-ostreatus', { ...nothingSaid, mayBeChilled: false, lossRate: 0 }, 600);
    expect(values.mayBeChilled).toEqual({ value: false, origin: 'farm', source: null, confidence: null, note: null });
    expect(values.lossRate.value).toBe(0);
    expect(values.daysToRipe.origin).toBe('species');
  });

  it('a species nobody knows has careful customary values', () => {
    expect(speciesValues('something rare', 600).daysToRipe.value).toBeGreaterThan(0);
  });
});
