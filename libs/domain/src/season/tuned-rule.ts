import { liveSeason } from './live-season.js';
import { type RuleName, type RuleSetting, rulePolicy, ruleSettings } from './rule-policies.js';
import type { SeasonFarm } from './season-farm.js';

/** The setting of a rule that cost least on average over the seasons given. */
export async function tunedRule(
  name: RuleName,
  seasons: readonly { readonly farm: SeasonFarm; readonly seed: number }[],
): Promise<RuleSetting> {
  let best: { readonly setting: RuleSetting; readonly cost: number } | null = null;
  for (const setting of ruleSettings[name]) {
    let cost = 0;
    for (const { farm, seed } of seasons) cost += (await liveSeason(farm, seed, rulePolicy(name, setting))).cost;
    if (best === null || cost < best.cost) best = { setting, cost };
  }
  return best?.setting ?? ruleSettings[name][0]!;
}
