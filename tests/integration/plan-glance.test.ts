import {
  type FarmSituation,
  familyFarm,
  farmFamily,
  type KeptPlan,
  planChanges,
  SeasonWorld,
} from '@jarfold/domain/planning';
import { Planner } from '@jarfold/server';
import { afterAll, describe, expect, it } from '@jest/globals';

const farm = familyFarm(farmFamily.find(({ name }) => name === 'many-strains')!, 5, 24);
const { seen } = new SeasonWorld(farm, 5).morning(0, 84);
const wishes = { chance: farm.believed, grounds: [], assurance: 0.95 };
const planner = new Planner();
afterAll(() => planner.close());

const standing = ({ starts }: KeptPlan): FarmSituation => ({
  ...seen,
  standing: starts.map((start) => ({ ...start, hold: 'accepted' as const })),
});

const below = ({ assurance }: KeptPlan) => assurance?.below.map(({ run }) => run);

describe('a plan looked for at a glance', () => {
  it('is the plan that stands where nothing that matters is supposed: starts, grams, chances, cost', async () => {
    const { plan: stood } = await planner.plan(seen, 'quick', wishes);
    const { plan: glanced } = await planner.plan(standing(stood), 'glance', wishes);
    expect(stood.runs.length).toBeGreaterThan(20);
    const { starts, runs } = planChanges({ plan: stood, facts: null }, { plan: glanced, facts: null });
    expect({ starts, runs }).toEqual({ starts: [], runs: [] });
    expect(glanced.cost).toBeCloseTo(stood.cost, 6);
    expect(below(glanced)).toEqual(below(stood));
  }, 120_000);

  it('says how long it was looked for, so that a plan of the night is not set beside it', async () => {
    const { plan: thorough } = await planner.plan(seen, 'thorough', wishes);
    const { plan: glanced } = await planner.plan(seen, 'glance', wishes);
    const { plan: quick } = await planner.plan(seen, 'quick', wishes);
    expect(glanced.searchShare).toBe(quick.searchShare);
    expect(glanced.searchShare).not.toBe(thorough.searchShare);
  }, 120_000);
});
