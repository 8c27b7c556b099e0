import { describe, expect, it } from '@jest/globals';
import { Farm, refusedFor, warned } from './farm.test-support.js';
import { jarState } from './thing.js';

describe('looking after jars', () => {
  it('the first day a jar is seen ripe stays, the share follows the newest look', () => {
    const farm = new Farm().withIncubating('a');
    farm.onDay(9).does('checked', { jars: [{ jarId: 'a', colonisedShare: 0.6, vigour: 'usual' }] });
    expect(jarState(farm.jar('a'))).toBe('incubating');
    farm.onDay(14).does('checked', { jars: [{ jarId: 'a', colonisedShare: 1 }] });
    farm.onDay(16).does('checked', { jars: [{ jarId: 'a', colonisedShare: 1, ripe: true }] });
    expect(farm.jar('a')).toMatchObject({ ripeOn: '2026-12-07', colonisedShare: 1 });
    expect(warned(farm.does('checked', { jars: [{ jarId: 'a', colonisedShare: 0.5 }] }))).toEqual([
      'less-colonised-than-before',
    ]);
    expect(refusedFor(farm.does('checked', { jars: [{ jarId: 'nobody' }] }))).toBe('unknown-jar');
  });

  it('a weighing restates what was made, so that the books still balance', () => {
    const farm = new Farm().withMothers('mother');
    farm.does('drawn_for_run', { runId: 'run', draws: [{ jarId: 'mother', amount: { by: 'half' } }] });
    expect(warned(farm.does('checked', { jars: [{ jarId: 'mother', netG: 344.4 }] }))).toEqual(['mass-restated']);
    expect(farm.jar('mother')).toMatchObject({ leftG: 344.4, drawnG: 300, madeG: 644.4, madeGEstimated: false });
    farm.does('emptied', { jarIds: ['mother'] });
    expect(refusedFor(farm.does('checked', { jars: [{ jarId: 'mother', netG: 5 }] }))).toBe('jar-gone');
  });

  it('a suspicion becomes certain and keeps its first day; certainty is not talked down', () => {
    const farm = new Farm().withIncubating('a');
    farm.onDay(5).does('contamination_found', { jarIds: ['a'], finding: 'unknown', sure: false });
    farm.onDay(6).does('contamination_found', { jarIds: ['a'], finding: 'green_mould', sure: true });
    farm.onDay(7).does('contamination_found', { jarIds: ['a'], finding: 'yeast', sure: false });
    expect(farm.jar('a')).toMatchObject({ contaminatedOn: '2026-11-28', finding: 'green_mould', findingSure: true });
    expect(warned(farm.does('mother_kept', { jarIds: ['a'] }))).toEqual(['mother-not-ripe', 'mother-contaminated']);
    expect(refusedFor(farm.does('contamination_found', { jarIds: ['b'], finding: 'yeast', sure: true }))).toBe(
      'unknown-jar',
    );
  });

  it('shaking is counted', () => {
    const farm = new Farm().withIncubating('a');
    farm.onDay(4).does('shaken', { jarIds: ['a'] });
    farm.onDay(7).does('shaken', { jarIds: ['a'] });
    expect(farm.jar('a')).toMatchObject({ shakes: 2, shakenOn: '2026-11-30' });
    expect(refusedFor(farm.does('shaken', { jarIds: ['nobody'] }))).toBe('unknown-jar');
  });

  it('a jar moves to a known shelf only', () => {
    const farm = new Farm().withIncubating('a');
    const place = { shelfId: 'shelf', row: 2, place: 5 };
    farm.does('moved', { moves: [{ jarId: 'a', place }] });
    expect(farm.jar('a').place).toEqual(place);
    expect(refusedFor(farm.does('moved', { moves: [{ jarId: 'a', place: { shelfId: 'x' } }] }))).toBe('unknown-shelf');
    expect(refusedFor(farm.does('moved', { moves: [{ jarId: 'x', place }] }))).toBe('unknown-jar');
  });

  it('chilling keeps the first cold day, warming ends it, and unwise ones are warned', () => {
    const farm = new Farm().withMothers('mother');
    farm.onDay(1).does('chilled', { jarIds: ['mother'], place: { shelfId: 'shelf' } });
    expect(warned(farm.onDay(3).does('chilled', { jarIds: ['mother'] }))).toEqual(['already-chilled']);
    expect(farm.jar('mother')).toMatchObject({ chilledOn: '2026-11-24', place: { shelfId: 'shelf' } });
    farm.onDay(5).does('warmed', { jarIds: ['mother'] });
    expect(farm.jar('mother')).toMatchObject({ chilledOn: null, warmedOn: '2026-11-28' });
    expect(warned(farm.does('warmed', { jarIds: ['mother'] }))).toEqual(['not-chilled']);
    expect(refusedFor(farm.does('chilled', { jarIds: ['x'] }))).toBe('unknown-jar');
    expect(refusedFor(farm.does('warmed', { jarIds: ['x'] }))).toBe('unknown-jar');
  });

  it('chilling an unripe jar of a strain that suffers cold is recorded with both warnings', () => {
    const farm = new Farm();
    farm.does('culture_made', {
      lotId: 'l',
      strainId: 'pink',
      sizeId: 'litre',
      container: 'jar',
      carrier: 'grain',
      jars: [{ id: 'p' }],
    });
    expect(warned(farm.does('chilled', { jarIds: ['p'] }))).toEqual(['chilled-before-ripe', 'strain-suffers-cold']);
    expect(jarState(farm.jar('p'))).toBe('chilled');
  });

  it('a mother is kept and released, and opening has one first day', () => {
    const farm = new Farm().withMothers('mother');
    expect(warned(farm.does('mother_kept', { jarIds: ['mother'] }))).toEqual([]);
    const draws = [{ jarId: 'mother', amount: { by: 'grams', massG: 10 } }] as const;
    expect(warned(farm.does('drawn_for_run', { runId: 'run', draws }))).toEqual(['drawn-from-mother']);
    farm.does('mother_released', { jarIds: ['mother'] });
    expect(farm.jar('mother').keptAsMother).toBe(false);
    farm.onDay(3).does('opened', { jarIds: ['mother'] });
    expect(farm.jar('mother').openedOn).toBe('2026-11-23');
    for (const kind of ['mother_kept', 'mother_released', 'opened'] as const) {
      expect(refusedFor(farm.does(kind, { jarIds: ['x'] }))).toBe('unknown-jar');
    }
  });

  it('a regrowth test is kept with its jar, also after the jar is gone', () => {
    const farm = new Farm().withMothers('mother');
    farm.does('emptied', { jarIds: ['mother'] });
    farm.does('regrowth_tested', { jarId: 'mother', days: 3, regrew: true });
    expect(farm.jar('mother')).toMatchObject({ regrowthDays: 3, regrew: true, regrowthOn: '2026-11-23' });
    expect(refusedFor(farm.does('regrowth_tested', { jarId: 'x', days: 3, regrew: true }))).toBe('unknown-jar');
  });

  it('a note is tied to what it is about', () => {
    const farm = new Farm().withMothers('mother');
    expect(farm.does('noted', { text: 'smells of bread', jarIds: ['mother'], lotId: 'mothers' }).outcome).toBe(
      'applied',
    );
    expect(farm.does('noted', { text: 'power cut' }).outcome).toBe('applied');
    expect(refusedFor(farm.does('noted', { text: 'x', jarIds: ['x'] }))).toBe('unknown-jar');
    expect(refusedFor(farm.does('noted', { text: 'x', lotId: 'x' }))).toBe('unknown-lot');
  });
});
