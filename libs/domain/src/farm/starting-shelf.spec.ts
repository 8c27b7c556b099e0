import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { placeInOrder, startingShelf } from './starting-shelf.js';

describe('startingShelf', () => {
  it('holds the first jars and as many again, each on a place of its own', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 2000 }), (jars) => {
        const { rows, placesPerRow } = startingShelf(jars);
        expect(rows * placesPerRow).toBeGreaterThanOrEqual(Math.max(40, 2 * jars));
        const places = Array.from({ length: jars }, (_, index) => placeInOrder(index, placesPerRow));
        expect(new Set(places.map(({ row, place }) => `${row}/${place}`)).size).toBe(jars);
        for (const { row, place } of places) {
          expect(row >= 1 && row <= rows && place >= 1 && place <= placesPerRow).toBe(true);
        }
      }),
      { numRuns: 30 },
    );
  });
});
