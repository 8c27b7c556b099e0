import { describe, expect, it } from '@jest/globals';
import { strainCodeProblem } from '../codes/index.js';
import { otherSpecies, speciesCatalogue } from '../species/index.js';
import { freeStrainCode } from './free-strain-code.js';

describe('freeStrainCode', () => {
  it('takes the first number that is free', () => {
    expect(freeStrainCode('OY', new Set())).toBe('OY1');
    expect(freeStrainCode('OY', new Set(['OY1', 'OY2', 'OY4']))).toBe('OY3');
  });

  it('gives every species of the catalogue a code that survives a spreadsheet', () => {
    for (const { codeHint } of [...speciesCatalogue, otherSpecies]) {
      expect(strainCodeProblem(freeStrainCode(codeHint, new Set()))).toBeNull();
    }
  });

  it('says so when there is none', () => {
    const all = new Set(Array.from({ length: 999 }, (_, index) => `OY${index + 1}`));
    expect(() => freeStrainCode('OY', all)).toThrow('OY999');
  });
});
