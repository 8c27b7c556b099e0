import { describe, expect, it } from '@jest/globals';
import { readNumber } from './read-number.js';

describe('numbers as people type them', () => {
  it('takes a point or a comma before the decimals', () => {
    expect(readNumber(' 12.5 ')).toBe(12.5);
    expect(readNumber('12,5')).toBe(12.5);
  });

  it('an empty box is not zero', () => {
    expect(readNumber('  ')).toBeNull();
  });

  it('refuses what could mean two things, and what is no number', () => {
    for (const text of ['1,234.5', '1e5', 'twelve', '12 kg', '--1', '.']) expect(readNumber(text)).toBeNaN();
  });
});
