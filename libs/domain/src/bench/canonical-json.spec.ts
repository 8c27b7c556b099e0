import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { canonicalJson } from './canonical-json.js';

describe('canonicalJson', () => {
  it('writes the sample of RFC 8785, section 3.2.2, as section 3.2.3 prints it', () => {
    const sample = {
      numbers: [Number('333333333.33333329'), 1e30, 4.5, 2e-3, 0.000000000000000000000000001],
      string: '\u20ac$\u000F\u000aA\'\u0042\u0022\u005c\\"/',
      literals: [null, true, false],
    };
    expect(canonicalJson(sample)).toBe(
      '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],' +
        '"string":"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}',
    );
  });

  it('sorts members by UTF-16 code units, as the example of RFC 8785, section 3.2.3', () => {
    const sample = {
      '\u20ac': 'Euro Sign',
      '\r': 'Carriage Return',
      '\ufb33': 'Hebrew Letter Dalet With Dagesh',
      '1': 'One',
      '\ud83d\ude00': 'Emoji: Grinning Face',
      '\u0080': 'Control',
      '\u00f6': 'Latin Small Letter O With Diaeresis',
    };
    const names = [...canonicalJson(sample).matchAll(/:"([^"]+)"/g)].map(([, name]) => name);
    expect(names).toEqual([
      'Carriage Return',
      'One',
      'Control',
      'Latin Small Letter O With Diaeresis',
      'Euro Sign',
      'Emoji: Grinning Face',
      'Hebrew Letter Dalet With Dagesh',
    ]);
  });

  it('says the same value back, and does not care in which order members were written', () => {
    fc.assert(
      fc.property(fc.dictionary(fc.string(), fc.jsonValue()), (value) => {
        const text = canonicalJson(value);
        const reversed = Object.fromEntries(Object.entries(value).reverse());
        expect(canonicalJson(JSON.parse(text))).toBe(text);
        expect(canonicalJson(reversed)).toBe(text);
      }),
    );
  });

  it('leaves out what is undefined and writes minus zero as zero', () => {
    expect(canonicalJson({ a: undefined, b: -0 })).toBe('{"b":0}');
  });

  it.each([NaN, Infinity, '\ud800', () => 1, undefined, 10n])('refuses %p', (value) => {
    expect(() => canonicalJson(value)).toThrow(expect.objectContaining({ code: 'not-canonical' }));
  });
});
