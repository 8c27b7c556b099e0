import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { address, LAST_COLUMN, LAST_ROW, parseAddress } from './address.js';

describe('address', () => {
  it.each([
    [1, 1, 'A1'],
    [26, 2, 'Z2'],
    [27, 3, 'AA3'],
    [702, 4, 'ZZ4'],
    [703, 5, 'AAA5'],
    [16384, 1048576, 'XFD1048576'],
  ])('writes column %d, row %d as %s', (column, row, text) => {
    expect(address(column, row)).toBe(text);
    expect(parseAddress(text)).toEqual({ column, row });
  });

  it.each(['XFE1', 'A1048577', 'A0', 'a1', '1A', 'A', 'AAAA1', ''])('finds no cell at %s', (text) => {
    expect(parseAddress(text)).toBeNull();
  });

  it('reads back what it writes', () => {
    const column = fc.integer({ min: 1, max: LAST_COLUMN });
    const row = fc.integer({ min: 1, max: LAST_ROW });
    fc.assert(
      fc.property(column, row, (c, r) => {
        expect(parseAddress(address(c, r))).toEqual({ column: c, row: r });
      }),
    );
  });
});
