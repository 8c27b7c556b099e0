import { describe, expect, it } from '@jest/globals';
import { Farm, refusedFor } from './farm.test-support.js';

describe('harvests', () => {
  it('a weighing is kept with its run and flush', () => {
    const farm = new Farm();
    farm.does('harvested', { runId: 'run', flush: 1, massG: 1234.56 }, 'harvest-1');
    expect(farm.ledger.thing('harvest', 'harvest-1')).toMatchObject({ runId: 'run', flush: 1, massG: 1234.6 });
    expect(refusedFor(farm.does('harvested', { runId: 'none', flush: 1, massG: 5 }))).toBe('unknown-run');
  });
});
