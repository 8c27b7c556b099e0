import { describe, expect, it } from '@jest/globals';
import { shelfRows } from './shelf-rows.js';

const jar = (row: number, place: number) => ({
  id: `${row}/${place}`,
  code: 'OY3-26W48-2/07',
  strainCode: 'OY3',
  generation: 2,
  state: 'ripe' as const,
  shareColonised: 1,
  drawnShare: 1,
  ageDays: 20,
  daysLeft: 10,
  freshness: 'good' as const,
  keptAsMother: false,
  row,
  place,
});

const shelf = (jars: ReturnType<typeof jar>[]) => ({ id: 's', name: 'A', rows: 2, placesPerRow: 6, jars });

describe('a shelf drawn from its places', () => {
  it('jars stand left to right whatever order they come in, with the gaps between them counted', () => {
    const [top, bottom] = shelfRows(shelf([jar(1, 5), jar(1, 2)]));
    expect(top?.places.map((place) => (place.kind === 'jar' ? place.jar.place : `${place.count} free`))).toEqual([
      '1 free',
      2,
      '2 free',
      5,
      '1 free',
    ]);
    expect(bottom?.places).toEqual([{ kind: 'empty', from: 1, count: 6 }]);
  });

  it('two jars logged on one place are both drawn: the picture hides no jar', () => {
    const [top] = shelfRows(shelf([jar(1, 3), { ...jar(1, 3), id: 'other' }]));
    expect(top?.places.filter((place) => place.kind === 'jar')).toHaveLength(2);
  });
});
