import type { KeptPlan } from '@jarfold/domain/planning';
import { describe, expect, it } from '@jest/globals';
import { GlancedPlans } from './glanced-plans.js';

function counted() {
  const made: string[] = [];
  const plans = new GlancedPlans();
  const ask = (farm: string, of: string) =>
    plans.plan(farm, of, async () => {
      made.push(`${farm} ${of}`);
      return { cost: made.length } as KeptPlan;
    });
  return { made, plans, ask };
}

describe('plans made at a glance', () => {
  it('are made once for the same facts, also when two ask at the same time, and anew for others', async () => {
    const { made, ask } = counted();
    const [one, other] = await Promise.all([ask('farm', 'monday'), ask('farm', 'monday')]);
    expect(one).toBe(other);
    await ask('farm', 'tuesday');
    await ask('farm', 'monday');
    expect(made).toEqual(['farm monday', 'farm tuesday', 'farm monday']);
  });

  it('are never another farm’s, and only those of the farms that asked last are kept', async () => {
    const { made, ask } = counted();
    await ask('first', 'facts');
    for (let farm = 0; farm < 15; farm += 1) await ask(`farm ${farm}`, 'facts');
    await ask('first', 'facts');
    expect(made).toHaveLength(16);
    await ask('one more', 'facts');
    await ask('first', 'facts');
    expect(made).toHaveLength(17);
    await ask('farm 0', 'facts');
    expect(made.at(-1)).toBe('farm 0 facts');
  });

  it('that could not be made are tried again', async () => {
    const { made, plans, ask } = counted();
    await expect(plans.plan('farm', 'facts', () => Promise.reject(new Error('the thread died')))).rejects.toThrow(
      'died',
    );
    await ask('farm', 'facts');
    expect(made).toEqual(['farm facts']);
  });
});
