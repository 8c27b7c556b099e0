import { describe, expect, it } from '@jest/globals';
import { calendarDay } from '../calendar/calendar-day.js';
import { Farm, refusedFor, warned } from './farm.test-support.js';
import { jarState } from './thing.js';

describe('new lots', () => {
  const culture = {
    lotId: 'plates',
    strainId: 'oyster',
    sizeId: 'litre',
    container: 'plate',
    carrier: 'agar',
    jars: [{ id: 'plate', massG: 20 }],
  } as const;

  it('a culture is generation 0 and gets the next code of its ISO week', () => {
    const farm = new Farm();
    expect(farm.does('culture_made', culture).outcome).toBe('applied');
    expect(farm.jar('plate')).toMatchObject({
      code: 'OY3-26W48-1/01',
      generation: 0,
      madeG: 20,
      madeGEstimated: false,
    });
    expect(refusedFor(farm.does('culture_made', { ...culture, lotId: 'b', strainId: 'none' }))).toBe('unknown-strain');
    const fromPink = { ...culture, lotId: 'b', strainId: 'pink', fromJarId: 'plate', jars: [{ id: 'p2' }] };
    expect(refusedFor(farm.does('culture_made', fromPink))).toBe('mother-of-other-strain');
  });

  it('a printed code that is taken gives way to the next free one, with a warning', () => {
    const farm = new Farm();
    farm.does('culture_made', { ...culture, code: 'OY3-26W48-1' });
    const second = { ...culture, lotId: 'more', code: 'OY3-26W48-1', jars: [{ id: 'plate-2' }] };
    const decision = farm.does('culture_made', second);
    expect(warned(decision)).toEqual(['lot-code-changed']);
    expect(farm.jar('plate-2').code).toBe('OY3-26W48-2/01');
  });

  it('received spawn is ripe, keeps its own codes and dates, and may be beyond the last generation', () => {
    const farm = new Farm();
    const received = {
      lotId: 'bought',
      strainId: 'oyster',
      generation: 3,
      sizeId: 'litre',
      container: 'bag',
      carrier: 'grain',
      supplier: 'a neighbour',
      madeOn: calendarDay('2026-10-01'),
      jars: [
        { id: 'bag', code: 'B-7', massG: 2000, chilledOn: calendarDay('2026-10-20') },
        { id: 'unripe', ripeOn: null },
      ],
    } as const;
    expect(warned(farm.does('received', received))).toEqual(['generation-beyond-last']);
    expect(farm.jar('bag')).toMatchObject({ code: 'B-7', madeOn: '2026-10-01', chilledOn: '2026-10-20', leftG: 2000 });
    expect(jarState(farm.jar('bag'))).toBe('chilled');
    expect(jarState(farm.jar('unripe'))).toBe('incubating');
    const again = { ...received, lotId: 'again', jars: [{ id: 'bag-2', code: 'B-7' }] };
    expect(refusedFor(farm.does('received', again))).toBe('code-already-used');
    expect(refusedFor(farm.does('received', received))).toBe('code-already-used');
    const sameId = { ...received, lotId: 'again', jars: [{ id: 'bag' }] };
    expect(refusedFor(farm.does('received', sameId))).toBe('id-already-used');
    expect(refusedFor(farm.does('received', { ...received, lotId: 'again', sizeId: 'none' }))).toBe('unknown-size');
  });

  it('inoculation draws from the mother, makes the next generation and uses the cycle', () => {
    const farm = new Farm().withMothers('mother');
    farm.does('cycle_started', { cycleId: 'cycle', method: 'pressure', loads: [{ sizeId: 'litre', count: 4 }] });
    farm.does('cycle_cooled', { cycleId: 'cycle' });
    const decision = farm.does('inoculated', {
      lotId: 'lot',
      strainId: 'oyster',
      sizeId: 'litre',
      cycleId: 'cycle',
      mothers: [{ jarId: 'mother', amount: { by: 'grams', massG: 60 } }],
      jars: [
        { id: 'a', place: { shelfId: 'shelf', row: 1, place: 2 } },
        { id: 'b', serial: 7 },
      ],
    });
    expect(warned(decision)).toEqual([]);
    expect(farm.jar('mother')).toMatchObject({ leftG: 540, drawnG: 60 });
    expect(farm.jar('a')).toMatchObject({ code: 'OY3-26W48-2/01', generation: 2, motherJarId: 'mother', madeG: 600 });
    expect(farm.jar('b').code).toBe('OY3-26W48-2/07');
    expect(farm.ledger.thing('cycle', 'cycle')?.used).toEqual([{ sizeId: 'litre', count: 2 }]);
    expect(farm.ledger.thing('lot', 'lot')).toMatchObject({ generation: 2, jarsMade: 2, madeBy: 'staff-1' });
  });

  it('inoculation refuses an unknown mother, cycle or grain, another strain, and a jar named twice', () => {
    const farm = new Farm().withMothers('mother');
    const lot = {
      lotId: 'lot',
      strainId: 'oyster',
      sizeId: 'litre',
      mothers: [{ jarId: 'mother', amount: { by: 'grams', massG: 60 } }],
      jars: [{ id: 'a' }],
    } as const;
    const unknown = [{ jarId: 'nobody', amount: { by: 'half' } }] as const;
    expect(refusedFor(farm.does('inoculated', { ...lot, mothers: unknown }))).toBe('unknown-jar');
    expect(refusedFor(farm.does('inoculated', { ...lot, cycleId: 'none' }))).toBe('unknown-cycle');
    expect(refusedFor(farm.does('inoculated', { ...lot, grainBatchId: 'none' }))).toBe('unknown-grain-batch');
    expect(refusedFor(farm.does('inoculated', { ...lot, strainId: 'pink' }))).toBe('mother-of-other-strain');
    expect(refusedFor(farm.does('inoculated', { ...lot, jars: [{ id: 'a' }, { id: 'a' }] }))).toBe(
      'jar-twice-in-entry',
    );
    expect(refusedFor(farm.does('inoculated', { ...lot, jars: [{ id: 'a' }, { id: 'b', serial: 1 }] }))).toBe(
      'jar-twice-in-entry',
    );
    expect(refusedFor(farm.does('inoculated', { ...lot, jars: [{ id: 'a', motherJarId: 'other' }] }))).toBe(
      'mother-not-in-entry',
    );
    expect(refusedFor(farm.does('inoculated', { ...lot, jars: [{ id: 'a', place: { shelfId: 'none' } }] }))).toBe(
      'unknown-shelf',
    );
    expect(farm.jar('mother').leftG).toBe(600);
  });

  it('inoculation warns of a hot load, more jars than were sterilised, and a generation beyond the last', () => {
    const farm = new Farm().withIncubating('a');
    farm.does('cycle_started', { cycleId: 'cycle', method: 'pressure', loads: [] });
    const decision = farm.does('inoculated', {
      lotId: 'third',
      strainId: 'oyster',
      sizeId: 'litre',
      cycleId: 'cycle',
      mothers: [{ jarId: 'a', amount: { by: 'half' } }],
      jars: [{ id: 'c' }],
    });
    expect(warned(decision).sort()).toEqual([
      'cycle-not-cooled',
      'drawn-before-ripe',
      'generation-beyond-last',
      'used-more-than-loaded',
    ]);
  });

  it('a blank holds no spawn: it can be checked and found contaminated, never drawn from', () => {
    const farm = new Farm();
    farm.does('cycle_started', { cycleId: 'cycle', method: 'pressure', loads: [{ sizeId: 'litre', count: 2 }] });
    farm.does('cycle_cooled', { cycleId: 'cycle' });
    const blanks = { lotId: 'blanks', sizeId: 'litre', cycleId: 'cycle', jars: [{ id: 'blank' }] };
    expect(warned(farm.does('blanks_kept', blanks))).toEqual([]);
    expect(farm.jar('blank')).toMatchObject({ code: 'BL-26W48-1/01', strainId: null, generation: null, madeG: 0 });
    const draws = [{ jarId: 'blank', amount: { by: 'grams', massG: 1 } }] as const;
    expect(refusedFor(farm.does('drawn_for_run', { runId: 'run', draws }))).toBe('blank-holds-no-spawn');
    expect(refusedFor(farm.does('checked', { jars: [{ jarId: 'blank', netG: 5 }] }))).toBe('blank-holds-no-spawn');
    expect(
      refusedFor(
        farm.does('inoculated', {
          lotId: 'l',
          strainId: 'oyster',
          sizeId: 'litre',
          mothers: draws,
          jars: [{ id: 'n' }],
        }),
      ),
    ).toBe('blank-holds-no-spawn');
    expect(farm.does('contamination_found', { jarIds: ['blank'], finding: 'bacteria', sure: true }).outcome).toBe(
      'applied',
    );
    expect(refusedFor(farm.does('blanks_kept', { ...blanks, cycleId: 'none', lotId: 'n', jars: [{ id: 'n' }] }))).toBe(
      'unknown-cycle',
    );
  });
});
