import { describe, expect, it } from '@jest/globals';
import { labelEvery, linearScale, niceTicks } from './scale.js';

describe('an axis', () => {
  it('places values in proportion, also when it runs upwards', () => {
    expect(linearScale([0, 10], [0, 200])(2.5)).toBe(50);
    expect(linearScale([0, 1], [100, 0])(0.25)).toBe(75);
    expect(linearScale([3, 3], [0, 10])(3)).toBe(0);
  });

  it('has round ticks that cover the range', () => {
    expect(niceTicks(0, 0.23, 4)).toEqual([0, 0.1, 0.2, 0.3]);
    expect(niceTicks(7, 21, 5)).toEqual([5, 10, 15, 20, 25]);
    expect(niceTicks(-20, 125, 4)).toEqual([-50, 0, 50, 100, 150]);
    for (const [low, high] of [
      [0, 1e-6],
      [0.1, 0.1],
      [0, 0],
      [12, 12_000],
    ] as const) {
      const ticks = niceTicks(low, high, 5);
      expect(ticks[0]).toBeLessThanOrEqual(low);
      expect(ticks.at(-1)).toBeGreaterThanOrEqual(high);
      expect(ticks.length).toBeGreaterThan(1);
    }
  });

  it('leaves labels out rather than letting them overlap', () => {
    expect(labelEvery(52, 520, 50)).toBe(5);
    expect(labelEvery(4, 520, 50)).toBe(1);
  });
});
