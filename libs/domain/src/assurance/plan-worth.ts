import type { SpawnPlan } from '../planning/plan.js';
import type { FarmSituation } from '../planning/situation.js';
import type { AssuranceSearch } from './assurance-search.js';
import type { FarmChance } from './farm-chance.js';
import { Luck } from './luck.js';
import { simulatedFarm } from './simulated-farm.js';
import { StrainDraws } from './strain-draws.js';
import { StrainTrials } from './strain-trials.js';

/**
 * What a plan comes to by chance, in the farm's money: what making it costs, what is expected to be short or to grow too
 * old, and the weight of missing assurance. What it changes against what stands is not in it. Less is better; only to
 * compare plans.
 */
export function planWorth(
  situation: FarmSituation,
  plan: SpawnPlan,
  chance: FarmChance,
  { seed, draws, assurance }: Pick<AssuranceSearch, 'seed' | 'draws' | 'assurance'>,
  luck: Luck = new Luck(seed, draws),
): number {
  const farm = simulatedFarm(situation, plan, chance);
  const { costs, horizon } = farm.situation;
  let worth = makingCost(plan);
  for (const strain of farm.strains) {
    if (strain.runs.length === 0) continue;
    worth += new StrainTrials(new StrainDraws(farm, strain, luck), costs, assurance, horizon).worth;
  }
  return worth;
}

/** What a plan costs without what falls short, grows too old or changes. */
export function makingCost({ costParts }: Pick<SpawnPlan, 'costParts'>): number {
  const { short, belowTarget, agedOut, changes = 0, ...making } = costParts;
  return Object.values(making).reduce((sum, part) => sum + part, 0);
}
