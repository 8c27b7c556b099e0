import { describe, expect, it } from '@jest/globals';
import { Farm, refusedFor } from './farm.test-support.js';

describe('corrections', () => {
  it('a taken-back draw gives its grams back, and later draws are worked out again', () => {
    const farm = new Farm().withMothers('mother');
    const draws = (massG: number) => [{ jarId: 'mother', amount: { by: 'grams', massG } }] as const;
    farm.does('drawn_for_run', { runId: 'run', draws: draws(200) }, 'slip');
    farm.does('drawn_for_run', { runId: 'run', draws: [{ jarId: 'mother', amount: { by: 'half' } }] }, 'half');
    expect(farm.jar('mother').leftG).toBe(200);
    expect(farm.does('corrected', { entryId: 'slip', reason: 'wrong jar' }).outcome).toBe('applied');
    expect(farm.jar('mother')).toMatchObject({ leftG: 300, drawnG: 300 });
    const { forgetDrawsOf, draws: kept } = farm.ledger.changes();
    expect(forgetDrawsOf).toEqual(['mother']);
    expect(kept.map(({ entryId, massG }) => [entryId, massG])).toEqual([['half', 300]]);
  });

  it('an inoculation is taken back whole: jars and lot never were, the mother has her grams', () => {
    const farm = new Farm().withIncubating('a', 'b');
    const entryId = farm.log.at(-1)!.entry.id;
    expect(farm.does('corrected', { entryId, reason: 'logged twice' }).outcome).toBe('applied');
    expect(farm.ledger.thing('jar', 'a')).toBeUndefined();
    expect(farm.ledger.thing('lot', 'lot')).toBeUndefined();
    expect(farm.jar('mother')).toMatchObject({ leftG: 600, openedOn: null });
  });

  it('is refused when a later entry would become impossible, and names it', () => {
    const farm = new Farm().withIncubating('a');
    const entryId = farm.log.at(-1)!.entry.id;
    farm.does('shaken', { jarIds: ['a'] }, 'shake');
    const decision = farm.does('corrected', { entryId, reason: 'never happened' });
    expect(refusedFor(decision)).toBe('later-entry-in-the-way');
    expect(decision).toMatchObject({
      obstacles: [{ details: { entryId: 'shake', kind: 'shaken', because: 'unknown-jar' } }],
    });
    expect(farm.jar('a').shakes).toBe(1);
    farm.does('corrected', { entryId: 'shake', reason: 'first this' });
    expect(farm.does('corrected', { entryId, reason: 'then that' }).outcome).toBe('applied');
  });

  it('a weighing taken back can make a later draw impossible', () => {
    const farm = new Farm().withMothers('mother');
    farm.does('checked', { jars: [{ jarId: 'mother', netG: 800 }] }, 'weighing');
    farm.does(
      'drawn_for_run',
      { runId: 'run', draws: [{ jarId: 'mother', amount: { by: 'grams', massG: 700 } }] },
      'draw',
    );
    const decision = farm.does('corrected', { entryId: 'weighing', reason: 'with the glass on' });
    expect(decision).toMatchObject({ obstacles: [{ details: { entryId: 'draw', because: 'draw-below-zero' } }] });
  });

  it('a correction is corrected: the first entry stands again', () => {
    const farm = new Farm().withMothers('mother');
    farm.does('emptied', { jarIds: ['mother'] }, 'emptied');
    farm.does('corrected', { entryId: 'emptied', reason: 'slip' }, 'undo');
    expect(farm.jar('mother').goneAs).toBeNull();
    expect(refusedFor(farm.does('corrected', { entryId: 'emptied', reason: 'again' }))).toBe('already-corrected');
    farm.does('corrected', { entryId: 'undo', reason: 'it was right' });
    expect(farm.jar('mother').goneAs).toBe('emptied');
    expect(refusedFor(farm.does('corrected', { entryId: 'undo', reason: 'again' }))).toBe('already-corrected');
    expect(farm.does('corrected', { entryId: 'emptied', reason: 'no, a slip' }).outcome).toBe('applied');
    expect(farm.jar('mother').goneAs).toBeNull();
  });

  it('a lot comes back only while its code is free', () => {
    const farm = new Farm().withIncubating('a');
    const entryId = farm.log.at(-1)!.entry.id;
    const { code } = farm.ledger.thing('lot', 'lot')!;
    farm.does('corrected', { entryId, reason: 'slip' }, 'undo');
    farm.does('inoculated', {
      lotId: 'other',
      code,
      strainId: 'oyster',
      sizeId: 'litre',
      mothers: [{ jarId: 'mother', amount: { by: 'grams', massG: 60 } }],
      jars: [{ id: 'z' }],
    });
    expect(refusedFor(farm.does('corrected', { entryId: 'undo', reason: 'back' }))).toBe('code-already-used');
  });

  it('an unknown entry cannot be corrected', () => {
    expect(refusedFor(new Farm().does('corrected', { entryId: 'none', reason: 'x' }))).toBe('unknown-entry');
  });
});
