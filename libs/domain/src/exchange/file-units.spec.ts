import { describe, expect, it } from '@jest/globals';
import { usualFileUnits, writtenMass } from './file-units.js';

describe('writtenMass', () => {
  it('says a mass in the unit it is weighed in', () => {
    expect([63, 999.4, 1000, 11_439].map((massG) => writtenMass(massG, usualFileUnits))).toEqual([
      ...['63 g', '999 g', '1 kg', '11.44 kg'],
    ]);
    // 1 lb is 453.59237 g (NIST SP 811, B.8).
    expect(writtenMass(11_439, { ...usualFileUnits, massUnit: 'us' })).toBe('25.22 lb');
  });
});
