import { jobPayloads } from '@jarfold/contracts';
import type { PlanService } from '@jarfold/server';
import { AppError } from '@jarfold/server/platform';
import { describe, expect, it } from '@jest/globals';
import { processors, requireProcessors } from './processors.js';

const growerId = '0198c6a0-0000-7000-8000-000000000001';

function plansThat(replan: () => Promise<unknown>): PlanService {
  return { replan } as unknown as PlanService;
}

const quiet = { look: async () => ({ raised: 0, settled: 0 }) };
const files = { makeWeekly: async () => ({ week: '2026-W48', made: true }) };

const imports = { bringIn: async () => 'applied' as const };
const exports = { make: async () => 'ready' as const };

describe('requireProcessors', () => {
  const all = processors(
    plansThat(async () => null),
    quiet,
    files,
    imports,
    exports,
  );

  it('lets a worker start that does every job of the contracts', () => {
    expect(() => requireProcessors(all)).not.toThrow();
    expect(Object.keys(all).sort()).toEqual(Object.keys(jobPayloads).sort());
  });

  it('refuses to start when a job has nobody to do it, and names it', () => {
    expect(() => requireProcessors({})).toThrow('no processor for replan');
    expect(() => requireProcessors(all, ['replan', 'count-sheep'])).toThrow('no processor for count-sheep');
  });
});

describe('the replan processor', () => {
  it('takes a farm that has nothing to plan with for done, not for failed, and looks over it all the same', async () => {
    const { replan } = processors(
      plansThat(() => Promise.reject(new AppError('rule-refused', 'There is nothing to plan with yet.'))),
      { look: async () => ({ raised: 1, settled: 0 }) },
      files,
      imports,
      exports,
    );
    await expect(replan({ version: 1, growerId, reason: 'nightly' })).resolves.toMatchObject({
      nothingToPlan: expect.stringContaining('nothing to plan'),
      watch: { raised: 1 },
    });
  });

  it('looks over the farm once it is planned anew, and says what it raised and settled', async () => {
    const looked: string[] = [];
    const look = async (ctx: { growerId: string }) => {
      looked.push(ctx.growerId);
      return { raised: 2, settled: 1 };
    };
    const { replan } = processors(
      plansThat(async () => ({ planId: 'p', changed: true })),
      { look },
      files,
      imports,
      exports,
    );
    await expect(replan({ version: 1, growerId, reason: 'nightly' })).resolves.toMatchObject({
      changed: true,
      watch: { raised: 2, settled: 1 },
    });
    expect(looked).toEqual([growerId]);
  });

  it('lets any other failure fail the job', async () => {
    const { replan } = processors(
      plansThat(() => Promise.reject(new Error('disk full'))),
      quiet,
      files,
      imports,
      exports,
    );
    await expect(replan({ version: 1, growerId, reason: 'nightly' })).rejects.toThrow('disk full');
  });
});
