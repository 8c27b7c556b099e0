import type { Jar } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { readRange } from './jar-range.js';
import { codeOnLabel, ScannerKeys } from './scanner-keys.js';
import { freePlaces, placesFor, shelfRows } from './shelf-places.js';

const jar = (serial: number, more: Partial<Jar> = {}) =>
  ({
    id: `jar-${serial}`,
    serial,
    code: `OY3-26W48-1/${String(serial).padStart(2, '0')}`,
    goneAs: null,
    place: null,
    ...more,
  }) as Jar;
const lot = [1, 2, 3, 7, 8, 9, 10, 11, 12].map((serial) => jar(serial)).concat(jar(4, { goneAs: 'discarded' }));
const world = {
  jarWithCode: (code: string) => lot.find((one) => one.code === code),
  jarsOfLot: (code: string) => (code === 'OY3-26W48-1' ? lot : []),
};
const serials = (text: string, chosen: string | null = 'OY3-26W48-1') => {
  const reading = readRange(text, world, chosen);
  return reading.kind === 'jars' ? reading.jars.map(({ serial }) => serial) : reading;
};

describe('what is typed or scanned', () => {
  it.each([
    ['OY3-26W48-1/07', [7]],
    ['oy3-26w48-1/07', [7]],
    ['OY3-26W48-1', [1, 2, 3, 7, 8, 9, 10, 11, 12]],
    ['OY3-26W48-1/07-12', [7, 8, 9, 10, 11, 12]],
    ['07 to 12', [7, 8, 9, 10, 11, 12]],
    ['12 to 07', [7, 8, 9, 10, 11, 12]],
    ['1, 3, 9-11', [1, 3, 9, 10, 11]],
    ['2', [2]],
  ])('%s names jars %j', (text, expected) => expect(serials(text)).toEqual(expected));

  it('says which numbers are not there instead of taking the others', () => {
    expect(serials('3 to 7')).toEqual({ kind: 'missing', lotCode: 'OY3-26W48-1', numbers: [4, 5, 6] });
  });

  it.each(['', 'seven', 'BR1-26W40-1/02', '1 to 999'])('%j is no jar', (text) => {
    expect(readRange(text, world, 'OY3-26W48-1').kind).not.toBe('jars');
  });

  it('numbers alone need a lot', () =>
    expect(serials('07 to 12', null)).toEqual({ kind: 'unknown', text: '07 to 12' }));
});

describe('a scanner that acts as a keyboard', () => {
  const type = (text: string, gapMs: number) => {
    const keys = new ScannerKeys();
    let atMs = 1000;
    let code: string | null = null;
    for (const key of [...text, 'Enter']) {
      code = keys.key(key, atMs) ?? code;
      atMs += gapMs;
    }
    return code;
  };
  it('is known by its speed', () => expect(type('OY3-26W48-1/07', 8)).toBe('OY3-26W48-1/07'));
  it('is not mistaken for a person typing', () => expect(type('OY3-26W48-1/07', 120)).toBeNull());
  it('keys that only change others do not break a code', () => {
    const keys = new ScannerKeys();
    for (const [at, key] of ['Shift', 'O', 'Y', 'Shift', '3'].entries()) keys.key(key, at * 5);
    expect(keys.key('Enter', 26)).toBe('OY3');
  });
  it('reads the code out of an address', () => {
    expect(codeOnLabel('https://farm.test/j#oy3-26w48-1%2F07')).toBe('OY3-26W48-1/07');
  });
});

describe('places of a shelf', () => {
  const shelf = { id: 's', roomId: 'r', name: 'Left', rows: 3, placesPerRow: 4, archived: false };
  it('free ones come in reading order', () => {
    const jars = [
      jar(1, { place: { shelfId: 's', row: 1, place: 1 } }),
      jar(2, { place: { shelfId: 's', row: 1, place: 3 } }),
    ];
    expect(freePlaces(shelf, jars, 3)).toEqual([
      { shelfId: 's', row: 1, place: 2 },
      { shelfId: 's', row: 1, place: 4 },
      { shelfId: 's', row: 2, place: 1 },
    ]);
  });
  it('every jar gets a place or at least the shelf, and no place twice', () => {
    fc.assert(
      fc.property(fc.uniqueArray(fc.nat(11), { maxLength: 12 }), fc.nat(20), (taken, count) => {
        const jars = taken.map((at) =>
          jar(at, { place: { shelfId: 's', row: 1 + Math.floor(at / 4), place: 1 + (at % 4) } }),
        );
        const places = placesFor(shelf, jars, count);
        const exact = places.filter(({ place }) => place !== undefined).map(({ row, place }) => `${row}/${place}`);
        const before = jars.map(({ place }) => `${place?.row}/${place?.place}`);
        expect(places).toHaveLength(count);
        expect(exact).toHaveLength(Math.min(count, 12 - taken.length));
        expect(new Set([...exact, ...before]).size).toBe(exact.length + before.length);
      }),
    );
  });
  it('a jar whose place the shelf no longer has stands loose on it', () => {
    const lost = jar(1, { place: { shelfId: 's', row: 9, place: 1 } });
    expect(shelfRows(shelf, [lost]).loose).toEqual([lost]);
  });
});
