import { describe, expect, it } from '@jest/globals';
import { calendarDay } from '../calendar/calendar-day.js';
import { CodeBook } from './code-book.js';
import type { LoggedEntry } from './correction.js';
import type { Decision } from './decide.js';
import type { BenchEntry, EntryKind, EntryPayloads } from './entry.js';
import type { EntryFacts } from './facts.js';
import { BenchLedger, type BenchSettings } from './ledger.js';
import { jarState } from './thing.js';

const DAY_MS = 86_400_000;
const START_MS = Date.UTC(2026, 10, 23, 8);

/** An invented farm with two strains, one that suffers cold, and an open and a cancelled run. */
const settings: BenchSettings = {
  strain: (id) =>
    ({
      oyster: { shortCode: 'OY3', lastGeneration: 2, mayBeChilled: true },
      pink: { shortCode: 'PK', lastGeneration: 3, mayBeChilled: false },
    })[id],
  size: (id) => ({ litre: { ripeG: 600 } })[id],
  hasShelf: (id) => id === 'shelf',
  run: (id) => ({ run: { strainIds: ['oyster'], open: true }, cancelled: { strainIds: ['oyster'], open: false } })[id],
};

/** A farm and its log, with short words for what a test does to it. */
class Farm {
  readonly ledger = new BenchLedger(settings, new CodeBook());
  readonly log: LoggedEntry[] = [];
  #count = 0;
  #day = 0;

  onDay(day: number): this {
    this.#day = day;
    return this;
  }

  does<K extends EntryKind>(kind: K, payload: EntryPayloads[K], id = `entry-${this.#count + 1}`) {
    this.#count += 1;
    const atMs = START_MS + this.#day * DAY_MS + this.#count;
    const day = calendarDay(new Date(atMs).toISOString().slice(0, 10));
    const entry = { id, kind, payload, atMs, day, staffId: 'staff-1' } as BenchEntry;
    const decision = entry.kind === 'corrected' ? this.ledger.correct(entry, this.log) : this.ledger.apply(entry);
    if (decision.outcome === 'applied') {
      this.log.push({ position: this.#count, entry, facts: 'facts' in decision ? (decision.facts as EntryFacts) : {} });
    }
    return decision as Decision;
  }

  jar(id: string) {
    const jar = this.ledger.thing('jar', id);
    if (!jar) throw new Error(`no jar ${id}`);
    return jar;
  }

  withMothers(...ids: readonly string[]): this {
    this.does('received', {
      lotId: 'mothers',
      strainId: 'oyster',
      generation: 1,
      sizeId: 'litre',
      container: 'jar',
      carrier: 'grain',
      jars: ids.map((id) => ({ id })),
    });
    return this;
  }

  withIncubating(...ids: readonly string[]): this {
    this.withMothers('mother');
    this.does('inoculated', {
      lotId: 'lot',
      strainId: 'oyster',
      sizeId: 'litre',
      mothers: [{ jarId: 'mother', amount: { by: 'grams', massG: 60 } }],
      jars: ids.map((id) => ({ id })),
    });
    return this;
  }
}

const warned = (decision: Decision) =>
  decision.outcome === 'applied' ? decision.warnings.map(({ code }) => code) : [];
const refusedFor = (decision: Decision) => (decision.outcome === 'refused' ? decision.reason : 'applied');
const conserved = (farm: Farm, id: string) => {
  const { madeG, drawnG, leftG, discardedG } = farm.jar(id);
  return Math.round((drawnG + leftG + discardedG - madeG) * 10) === 0;
};

describe('grain preparation', () => {
  it('follows a batch from soak to fill and counts clean empties down', () => {
    const farm = new Farm();
    farm.does('containers_counted', { sizeId: 'litre', cleanEmpty: 20 });
    farm.does('grain_soaked', { grainBatchId: 'batch', grain: 'rye', dryGrainG: 5000, waterG: 8000 });
    farm.does('grain_simmered', { grainBatchId: 'batch', simmerMin: 20 });
    farm.does('grain_drained', { grainBatchId: 'batch' });
    farm.does('grain_rested', { grainBatchId: 'batch', hydratedG: 8900, moistureShare: 0.5 });
    const filled = farm.does('grain_filled', { grainBatchId: 'batch', fills: [{ sizeId: 'litre', count: 12 }] });
    expect(warned(filled)).toEqual([]);
    expect(farm.ledger.thing('grainBatch', 'batch')).toMatchObject({
      code: 'GR-26W48-1',
      dryGrainG: 5000,
      hydratedG: 8900,
      moistureShare: 0.5,
      filled: [{ sizeId: 'litre', count: 12 }],
    });
    expect(farm.ledger.thing('pool', 'litre')).toEqual({ id: 'litre', cleanEmpty: 8 });
  });

  it('may begin with any step, as long as the first one names the grain', () => {
    const farm = new Farm();
    const fills = [{ sizeId: 'litre', count: 6 }];
    expect(refusedFor(farm.does('grain_filled', { grainBatchId: 'batch', fills }))).toBe('unknown-grain-batch');
    expect(farm.does('grain_filled', { grainBatchId: 'batch', grain: 'rye', fills }).outcome).toBe('applied');
  });

  it.each(['grain_soaked', 'grain_simmered', 'grain_drained', 'grain_rested'] as const)(
    '%s of an unknown batch is refused, after a fill it is warned, twice it is warned',
    (kind) => {
      const farm = new Farm();
      expect(refusedFor(farm.does(kind, { grainBatchId: 'batch' }))).toBe('unknown-grain-batch');
      farm.does('grain_filled', { grainBatchId: 'batch', grain: 'rye', fills: [{ sizeId: 'litre', count: 6 }] });
      expect(warned(farm.does(kind, { grainBatchId: 'batch' }))).toEqual(['grain-step-out-of-order']);
      expect(warned(farm.does(kind, { grainBatchId: 'batch' }))).toEqual(['grain-step-repeated']);
    },
  );

  it('more filled than were clean is a warning, and the count stays at zero', () => {
    const farm = new Farm();
    farm.does('containers_counted', { sizeId: 'litre', cleanEmpty: 5 });
    const fills = [{ sizeId: 'litre', count: 6 }];
    const decision = farm.does('grain_filled', { grainBatchId: 'batch', grain: 'rye', fills });
    expect(warned(decision)).toEqual(['filled-more-than-clean']);
    expect(farm.ledger.thing('pool', 'litre')?.cleanEmpty).toBe(0);
  });

  it('washing adds clean empties once they have been counted, and never before', () => {
    const farm = new Farm();
    farm.does('washed', { sizeId: 'litre', count: 4 });
    expect(farm.ledger.thing('pool', 'litre')?.cleanEmpty).toBeNull();
    farm.does('containers_counted', { sizeId: 'litre', cleanEmpty: 5 });
    farm.does('washed', { sizeId: 'litre', count: 4 });
    expect(farm.ledger.thing('pool', 'litre')?.cleanEmpty).toBe(9);
    expect(refusedFor(farm.does('washed', { sizeId: 'gallon', count: 4 }))).toBe('unknown-size');
    expect(refusedFor(farm.does('containers_counted', { sizeId: 'gallon', cleanEmpty: 4 }))).toBe('unknown-size');
    const fills = [{ sizeId: 'gallon', count: 1 }];
    expect(refusedFor(farm.does('grain_filled', { grainBatchId: 'b', grain: 'rye', fills }))).toBe('unknown-size');
  });
});

describe('steriliser cycles', () => {
  const loads = [{ grainBatchId: 'batch', sizeId: 'litre', count: 6 }];
  const withBatch = () => {
    const farm = new Farm();
    farm.does('grain_filled', { grainBatchId: 'batch', grain: 'rye', fills: [{ sizeId: 'litre', count: 6 }] });
    return farm;
  };

  it('starts, holds, ends and cools, and takes its load from the batch', () => {
    const farm = withBatch();
    expect(warned(farm.does('cycle_started', { cycleId: 'cycle', method: 'pressure', loads }))).toEqual([]);
    farm.does('cycle_held', { cycleId: 'cycle', temperatureC: 121, gaugePressureKpa: 103 });
    expect(warned(farm.does('cycle_ended', { cycleId: 'cycle', holdMin: 90 }))).toEqual([]);
    expect(warned(farm.does('cycle_cooled', { cycleId: 'cycle' }))).toEqual([]);
    expect(farm.ledger.thing('cycle', 'cycle')).toMatchObject({ code: 'ST-26W48-1', holdMin: 90, temperatureC: 121 });
    expect(farm.ledger.thing('grainBatch', 'batch')?.loaded).toEqual([{ sizeId: 'litre', count: 6 }]);
  });

  it('refuses what cannot be: an unknown batch, a cycle started twice, ended twice, held after its end', () => {
    const farm = withBatch();
    const unknownBatch = { ...loads[0]!, grainBatchId: 'other' };
    expect(refusedFor(farm.does('cycle_started', { cycleId: 'x', method: 'pressure', loads: [unknownBatch] }))).toBe(
      'unknown-grain-batch',
    );
    farm.does('cycle_started', { cycleId: 'cycle', method: 'pressure', loads });
    expect(refusedFor(farm.does('cycle_started', { cycleId: 'cycle', method: 'pressure', loads }))).toBe(
      'id-already-used',
    );
    farm.does('cycle_ended', { cycleId: 'cycle', holdMin: 90 });
    expect(refusedFor(farm.does('cycle_ended', { cycleId: 'cycle' }))).toBe('cycle-already-ended');
    expect(refusedFor(farm.does('cycle_held', { cycleId: 'cycle' }))).toBe('cycle-already-ended');
    expect(refusedFor(farm.does('cycle_held', { cycleId: 'other' }))).toBe('unknown-cycle');
    expect(refusedFor(farm.does('cycle_cooled', { cycleId: 'other' }))).toBe('unknown-cycle');
  });

  it('warns of a load larger than what was filled, and of steps nobody logged', () => {
    const farm = withBatch();
    const more = [{ grainBatchId: 'batch', sizeId: 'litre', count: 7 }];
    expect(warned(farm.does('cycle_started', { cycleId: 'cycle', method: 'pressure', loads: more }))).toEqual([
      'loaded-more-than-filled',
    ]);
    expect(warned(farm.does('cycle_cooled', { cycleId: 'cycle' }))).toEqual(['cycle-step-missing']);
    farm.does('cycle_started', { cycleId: 'second', method: 'pressure', loads: [] });
    expect(warned(farm.does('cycle_ended', { cycleId: 'second' }))).toEqual(['cycle-step-missing']);
  });
});

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

describe('harvests', () => {
  it('a weighing is kept with its run and flush', () => {
    const farm = new Farm();
    farm.does('harvested', { runId: 'run', flush: 1, massG: 1234.56 }, 'harvest-1');
    expect(farm.ledger.thing('harvest', 'harvest-1')).toMatchObject({ runId: 'run', flush: 1, massG: 1234.6 });
    expect(refusedFor(farm.does('harvested', { runId: 'none', flush: 1, massG: 5 }))).toBe('unknown-run');
  });
});

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
