import { describe, expect, it } from '@jest/globals';
import { lookOfCode } from './cell-formats.js';

describe('a number format', () => {
  it.each(['yyyy-mm-dd', 'dd/mm/yy', 'd. mmmm', '[$-409]d-mmm-yy;@', 'mmm-yy', 'yyyy\\-mm\\-dd'])(
    '%s is a date',
    (code) => {
      expect(lookOfCode(code)).toBe('date');
    },
  );

  it.each(['0.00', 'General', '#,##0', '0 "days"', '[Red]0', '0\\d', 'hh:mm', '[h]:mm:ss', '@'])(
    '%s is plain',
    (code) => {
      expect(lookOfCode(code)).toBe('plain');
    },
  );

  it.each(['0%', '0.0 %'])('%s is per cent', (code) => {
    expect(lookOfCode(code)).toBe('percent');
  });
});
