import { describe, expect, it } from '@jest/globals';
import { Farm, refusedFor, warned } from './farm.test-support.js';

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
