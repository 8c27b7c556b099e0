import { describe, expect, it } from '@jest/globals';
import { conserved, Farm, refusedFor, warned } from './farm.test-support.js';

describe('the end of a jar', () => {
  it.each([
    ['emptied', { jarIds: ['mother'] }],
    ['broken', { jarIds: ['mother'] }],
    ['discarded', { jarIds: ['mother'], reason: 'aged_out' }],
  ] as const)('%s counts what was left as discarded, once', (kind, payload) => {
    const farm = new Farm().withMothers('mother');
    farm.does('drawn_for_run', { runId: 'run', draws: [{ jarId: 'mother', amount: { by: 'grams', massG: 100 } }] });
    expect(farm.does(kind, payload as never).outcome).toBe('applied');
    expect(farm.jar('mother')).toMatchObject({ leftG: 0, discardedG: 500, goneAs: kind });
    expect(conserved(farm, 'mother')).toBe(true);
    expect(refusedFor(farm.does(kind, payload as never))).toBe('jar-gone');
    expect(refusedFor(farm.does(kind, { ...payload, jarIds: ['x'] } as never))).toBe('unknown-jar');
  });

  it('what was seen before a jar was gone still counts when it arrives late, with a warning', () => {
    const farm = new Farm().withIncubating('a');
    farm.onDay(9).does('discarded', { jarIds: ['a'], reason: 'contaminated' });
    const late = farm.onDay(8).does('contamination_found', { jarIds: ['a'], finding: 'green_mould', sure: true });
    expect(warned(late)).toEqual(['late-entry']);
    expect(farm.jar('a')).toMatchObject({ finding: 'green_mould', goneAs: 'discarded' });
    expect(refusedFor(farm.onDay(10).does('shaken', { jarIds: ['a'] }))).toBe('jar-gone');
  });

  it('two jars on one place are both recorded, and the second is told', () => {
    const farm = new Farm().withIncubating('a', 'b');
    const place = { shelfId: 'shelf', row: 1, place: 1 };
    expect(warned(farm.does('moved', { moves: [{ jarId: 'a', place }] }))).toEqual([]);
    expect(warned(farm.does('moved', { moves: [{ jarId: 'a', place }] }))).toEqual([]);
    expect(warned(farm.does('moved', { moves: [{ jarId: 'b', place }] }))).toEqual(['place-taken']);
    const swap = [
      { jarId: 'a', place: { ...place, place: 2 } },
      { jarId: 'b', place },
    ];
    expect(warned(farm.does('moved', { moves: swap }))).toEqual([]);
    farm.does('discarded', { jarIds: ['a', 'b'], reason: 'surplus' });
    farm.does('received', {
      lotId: 'new',
      strainId: 'oyster',
      generation: 1,
      sizeId: 'litre',
      container: 'jar',
      carrier: 'grain',
      jars: [{ id: 'c', place }],
    });
    expect(warned(farm.does('chilled', { jarIds: ['mother'], place }))).toEqual(['place-taken']);
  });

  it('an older move does not undo a newer one', () => {
    const farm = new Farm().withIncubating('a');
    const place = (row: number) => ({ shelfId: 'shelf', row });
    farm.onDay(5).does('moved', { moves: [{ jarId: 'a', place: place(2) }] });
    expect(warned(farm.onDay(4).does('moved', { moves: [{ jarId: 'a', place: place(1) }] }))).toEqual(['late-entry']);
    expect(farm.jar('a').place).toEqual(place(2));
  });
});
