import { describe, expect, it } from '@jest/globals';
import type { EntryPayloads } from './entry.js';
import { conserved, Farm, refusedFor, warned } from './farm.test-support.js';

describe('drawing spawn', () => {
  const draw = (jarId: string, amount: EntryPayloads['drawn_for_run']['draws'][number]['amount']) => ({
    runId: 'run',
    draws: [{ jarId, amount }],
  });

  it('grams, half, all but the bottom and all, each from what is left', () => {
    const farm = new Farm().withMothers('mother');
    farm.does('drawn_for_run', draw('mother', { by: 'grams', massG: 100 }));
    farm.does('drawn_for_run', draw('mother', { by: 'half' }));
    expect(farm.jar('mother')).toMatchObject({ leftG: 250, drawnG: 350, openedOn: '2026-11-23' });
    farm.does('drawn_for_run', draw('mother', { by: 'all_but_bottom' }));
    expect(farm.jar('mother').leftG).toBe(60);
    expect(refusedFor(farm.does('drawn_for_run', draw('mother', { by: 'all_but_bottom' })))).toBe(
      'nothing-left-to-draw',
    );
    farm.does('drawn_for_run', draw('mother', { by: 'all' }));
    expect(farm.jar('mother')).toMatchObject({ leftG: 0, drawnG: 600, goneAs: 'emptied' });
    expect(conserved(farm, 'mother')).toBe(true);
    expect(farm.ledger.changes().draws.map(({ massG, estimated }) => [massG, estimated])).toEqual([
      [100, false],
      [250, true],
      [190, true],
      [60, true],
    ]);
  });

  it('a draw below zero, from a jar that is gone, of an unknown jar or into an unknown run or lot is refused', () => {
    const farm = new Farm().withMothers('mother');
    expect(refusedFor(farm.does('drawn_for_run', draw('mother', { by: 'grams', massG: 600.1 })))).toBe(
      'draw-below-zero',
    );
    expect(farm.jar('mother').leftG).toBe(600);
    expect(refusedFor(farm.does('drawn_for_run', draw('x', { by: 'half' })))).toBe('unknown-jar');
    const unknownRun = { ...draw('mother', { by: 'half' }), runId: 'none' };
    expect(refusedFor(farm.does('drawn_for_run', unknownRun))).toBe('unknown-run');
    const { draws } = draw('mother', { by: 'half' });
    expect(refusedFor(farm.does('drawn_for_jars', { lotId: 'none', draws }))).toBe('unknown-lot');
    farm.does('discarded', { jarIds: ['mother'], reason: 'surplus' });
    expect(refusedFor(farm.does('drawn_for_run', draw('mother', { by: 'half' })))).toBe('jar-gone');
  });

  it('one impossible draw refuses the whole entry', () => {
    const farm = new Farm().withMothers('one', 'two');
    const draws = [
      { jarId: 'one', amount: { by: 'half' } },
      { jarId: 'two', amount: { by: 'grams', massG: 601 } },
    ] as const;
    expect(refusedFor(farm.does('drawn_for_run', { runId: 'run', draws }))).toBe('draw-below-zero');
    expect(farm.jar('one').leftG).toBe(600);
  });

  it('a second mother for a lot is recorded with that lot', () => {
    const farm = new Farm().withIncubating('a');
    const draws = [{ jarId: 'mother', amount: { by: 'grams', massG: 5 } }] as const;
    expect(farm.does('drawn_for_jars', { lotId: 'lot', draws }).outcome).toBe('applied');
    expect(farm.ledger.changes().draws.at(-1)).toMatchObject({ lotId: 'lot', runId: null, massG: 5 });
  });

  it('drawing unripe, contaminated or unwanted spawn is recorded with warnings', () => {
    const farm = new Farm().withIncubating('a');
    farm.does('contamination_found', { jarIds: ['a'], finding: 'yeast', sure: true });
    const payload = { ...draw('a', { by: 'half' }), runId: 'cancelled' };
    expect(warned(farm.does('drawn_for_run', payload)).sort()).toEqual([
      'drawn-before-ripe',
      'drawn-from-contaminated',
      'run-not-open',
    ]);
  });
});
