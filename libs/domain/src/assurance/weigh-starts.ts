import type { CalendarDay } from '../calendar/calendar-day.js';
import type { SpawnPlan } from '../planning/plan.js';
import type { FarmSituation } from '../planning/situation.js';
import type { FarmChance } from './farm-chance.js';
import { Luck } from './luck.js';
import type { DrawOptions } from './simulate-plan.js';
import { simulatedFarm } from './simulated-farm.js';
import { StrainDraws } from './strain-draws.js';

/** What skipping one start would do: runs that become less likely covered, the worst first. */
export interface StartWeight {
  readonly start: string;
  readonly withoutIt: readonly { readonly run: string; readonly probability: number; readonly before: number }[];
}

/** Less than this many points of probability is not worth telling. */
const TELLING = 0.02;

/** Leaves out each start before a day, one at a time, on the same luck. */
export function weighStarts(
  situation: FarmSituation,
  plan: SpawnPlan,
  chance: FarmChance,
  before: CalendarDay,
  { draws, seed }: DrawOptions,
  luck: Luck = new Luck(seed, draws),
): StartWeight[] {
  const farm = simulatedFarm(situation, plan, chance);
  const wanted = new Set(plan.starts.filter(({ benchDay }) => benchDay < before).map(({ id }) => id));
  return farm.strains.flatMap((strain) => {
    const lots = strain.starts.map(({ lot }) => lot).filter((lot) => wanted.has(strain.lots[lot]!.name));
    if (lots.length === 0) return [];
    const lived = new StrainDraws(farm, strain, luck);
    const counts = strain.lots.map(({ containers }) => containers);
    const whole = lived.run(counts).covered;
    return lots.map((lot): StartWeight => {
      const without = lived.run(counts.with(lot, 0)).covered;
      const withoutIt = strain.runs
        .map(({ id }, place) => ({ run: id, probability: without[place]! / draws, before: whole[place]! / draws }))
        .filter((run) => run.before - run.probability >= TELLING)
        .sort((one, other) => other.before - other.probability - (one.before - one.probability));
      return { start: strain.lots[lot]!.name, withoutIt };
    });
  });
}
