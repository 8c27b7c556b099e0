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
  it('jars stand left to right whatever order they come in, with the free places between them', () => {
    const [top, bottom] = shelfRows(shelf([jar(1, 5), jar(1, 2)]));
    expect(top?.places.map((place) => (place.kind === 'jar' ? `jar ${place.jar.place}` : place.place))).toEqual([
      1,
      'jar 2',
      3,
      4,
      'jar 5',
      6,
    ]);
    expect(top?.free).toBe(4);
    expect(bottom?.free).toBe(6);
  });

  it('a jar logged beyond the end of its row is drawn all the same', () => {
    const [top] = shelfRows(shelf([jar(1, 8)]));
    expect(top?.places.filter((place) => place.kind === 'jar')).toHaveLength(1);
  });

  it('two jars logged on one place are both drawn: the picture hides no jar', () => {
    const [top] = shelfRows(shelf([jar(1, 3), { ...jar(1, 3), id: 'other' }]));
    expect(top?.places.filter((place) => place.kind === 'jar')).toHaveLength(2);
  });
});
