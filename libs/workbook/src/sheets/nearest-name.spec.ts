import { describe, expect, it } from '@jest/globals';
import { nearestName, slipsBetween } from './nearest-name.js';

describe('nearestName', () => {
  const strains = ['Blue oyster', 'King oyster', 'Lion’s mane'];

  it.each([
    ['Bleu oyster', 'Blue oyster'],
    ['blue oister', 'Blue oyster'],
    ['Kng oyster', 'King oyster'],
    ['Lions mane', 'Lion’s mane'],
  ])('takes "%s" for a slip of %s', (written, name) => {
    expect(nearestName(written, strains)).toBe(name);
  });

  it('suggests nothing when nothing is close', () => {
    expect(nearestName('Shiitake', strains)).toBeNull();
  });
});

describe('slipsBetween', () => {
  // Textbook pairs of edit distance: kitten/sitting 3, and a swap of neighbours counted once.
  it.each([
    ['kitten', 'sitting', 3],
    ['flaw', 'lawn', 2],
    ['ab', 'ba', 1],
    ['', 'abc', 3],
    ['same', 'same', 0],
  ])('counts %s to %s as %d', (a, b, slips) => {
    expect(slipsBetween(a, b)).toBe(slips);
  });
});
