import { describe, expect, it } from '@jest/globals';
import { type LabelGrid, labelPlaces, singleLabel } from './label-layout.js';

const grid: LabelGrid = {
  ...{ pageWidthMm: 210, pageHeightMm: 297, labelWidthMm: 60, labelHeightMm: 30, columns: 3, rows: 9 },
  ...{ marginLeftMm: 12, marginTopMm: 10, gapXMm: 3, gapYMm: 1 },
};

describe('labelPlaces', () => {
  it('goes along the rows and on to the next page', () => {
    const places = labelPlaces(grid, 28, 0);
    expect(places[0]).toEqual({ page: 0, xMm: 12, yMm: 10 });
    expect(places[1]).toEqual({ page: 0, xMm: 75, yMm: 10 });
    expect(places[3]).toEqual({ page: 0, xMm: 12, yMm: 41 });
    expect(places[27]).toEqual({ page: 1, xMm: 12, yMm: 10 });
  });

  it('begins after the labels that are used already', () => {
    expect(labelPlaces(grid, 1, 4)).toEqual([{ page: 0, xMm: 75, yMm: 41 }]);
    expect(labelPlaces(grid, 2, 26).map(({ page }) => page)).toEqual([0, 1]);
  });

  it('says what does not fit, by how much', () => {
    expect(() => labelPlaces({ ...grid, columns: 4 }, 1, 0)).toThrow('the grid is 261 mm wide, the page 210 mm');
    expect(() => labelPlaces({ ...grid, rows: 10 }, 1, 0)).toThrow('the grid is 319 mm high, the page 297 mm');
    expect(() => labelPlaces(grid, 1, 27)).toThrow('at most 26 can be used already');
  });

  it('puts a single label on a page of its own', () => {
    const places = labelPlaces(singleLabel({ labelWidthMm: 62.5, labelHeightMm: 29.3 }), 2, 0);
    expect(places).toEqual([
      { page: 0, xMm: 0, yMm: 0 },
      { page: 1, xMm: 0, yMm: 0 },
    ]);
  });
});
