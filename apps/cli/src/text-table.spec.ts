import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { textTable, wrap } from './text-table.js';

describe('textTable', () => {
  it('wraps long cells at words and keeps columns apart', () => {
    const columns = [
      { header: 'Day', width: 6 },
      { header: 'Work', width: 10 },
      { header: 'g', width: 6, right: true },
    ];
    expect(
      textTable(columns, [
        ['Mon', 'one two three four', '12'],
        ['Tue', 'é', '3'],
      ]),
    ).toEqual([
      'Day  Work         g',
      '---  ----------  --',
      'Mon  one two     12',
      '     three four',
      'Tue  é            3',
    ]);
  });
});

describe('wrap', () => {
  it('loses no letter and keeps to the width', () => {
    fc.assert(
      fc.property(fc.lorem({ maxCount: 20 }), fc.integer({ min: 3, max: 40 }), (text, width) => {
        const lines = wrap(text, width);
        expect(lines.join('').replaceAll(' ', '')).toBe(text.replaceAll(' ', ''));
        expect(lines.every((line) => line.length <= width)).toBe(true);
      }),
    );
  });

  it('cuts a word that is longer than a line', () => {
    expect(wrap('BL-26W45-1/01 x', 6)).toEqual(['BL-26W', '45-1/0', '1 x']);
  });
});
