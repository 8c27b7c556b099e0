import { describe, expect, it } from '@jest/globals';
import { Farm, refusedFor, warned } from './farm.test-support.js';

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
