import { describe, expect, it } from '@jest/globals';
import { kitchen } from '../../../../tests/reference/planning-kitchen.js';
import { planSpawn } from './plan-spawn.js';

describe('planSpawn on a kitchen', () => {
  it('starts the jars a run needs on the last bench day that lets them ripen', async () => {
    const plan = await planSpawn(kitchen());
    expect(plan.starts).toHaveLength(1);
    expect(plan.starts[0]).toMatchObject({
      benchDay: '2026-12-05',
      generation: 2,
      containers: 3,
      ripeOn: '2026-12-19',
    });
    expect(plan.starts[0]?.mothers).toEqual([{ code: 'M-1', grams: 60 }]);
    expect(plan.starts[0]?.feeds).toEqual([{ run: 'run-1', grams: 1500 }]);
    expect(plan.runs[0]).toMatchObject({ coveredGrams: 1500, limit: null });
    expect(plan.exact).toBe(true);
  });
});
