import { describe, expect, it } from '@jest/globals';
import { listed } from './short-codes.js';

describe('listed', () => {
  it('names the lot once for jars that give the same', () => {
    const jars = ['01', '02', '03'].map((jar) => ({ code: `BL-26W45-1/${jar}`, amount: '560 g' }));
    expect(listed(jars)).toBe('BL-26W45-1/01, /02, /03 (560 g each)');
  });

  it('keeps jars apart that give different amounts, and codes of another form whole', () => {
    expect(
      listed([
        { code: 'BL-26W45-1/01', amount: '50 g' },
        { code: 'BL-26W45-1/02', amount: '60 g' },
        { code: 'jar 7', amount: '' },
        { code: 'jar 8', amount: '' },
      ]),
    ).toBe('BL-26W45-1/01 (50 g); BL-26W45-1/02 (60 g); jar 7; jar 8');
  });
});
