import type { BindingLimit, PlannedStart, SpawnPlan } from '../planning/plan.js';
import type { FarmSituation } from '../planning/situation.js';
import type { AssuranceSearch } from './assurance-search.js';
import { CapacityBook } from './capacity-book.js';
import { StandingWeights } from './changes-cost.js';
import type { FarmChance } from './farm-chance.js';
import { Luck } from './luck.js';
import { simulatedFarm } from './simulated-farm.js';
import { withOpenStarts } from './start-levers.js';
import { StrainAssurance } from './strain-assurance.js';

export interface AssuredStarts {
  readonly starts: readonly Pick<PlannedStart, 'benchDay' | 'strainId' | 'generation' | 'sizeId' | 'containers'>[];
  /** What keeps a run below the assurance; null for one that reaches it. Worked out when it is asked for. */
  readonly limitOf: (run: string) => BindingLimit | null;
  /** Whether any start differs from the plan's. */
  readonly changed: boolean;
  /** What the changes are worth in the farm's money, the weight of missing assurance and of the changes counted. */
  readonly gain: number;
}

/**
 * Raises, shifts and trims a plan's starts until every run is covered with the assurance asked for, or what limits it is
 * known; beyond that it weighs the expected cost of shortage against containers, cycles and spawn that grows too old. All
 * variants meet the same luck.
 * @param luck of the search's seed and draws, where it is kept from one plan to the next
 * @param standing what changes are counted against, where that is not what stands in the situation
 */
export function assureStarts(
  situation: FarmSituation,
  plan: SpawnPlan,
  chance: FarmChance,
  search: AssuranceSearch,
  luck: Luck = new Luck(search.seed, search.draws),
  standing: StandingWeights = new StandingWeights(situation),
): AssuredStarts {
  const open = withOpenStarts(situation, plan, search.held);
  const farm = simulatedFarm(situation, open, chance);
  const book = new CapacityBook(farm.situation, plan);
  const busy = farm.strains.filter(({ runs, starts }) => runs.length > 0 && starts.length > 0);
  const trials = Math.floor(search.trials / Math.max(1, busy.length));
  const searches = busy.map((strain) => new StrainAssurance(farm, strain, book, luck, search, standing, trials));
  for (const each of searches) each.improve();
  const limitOf = (run: string) => firstOf(searches, (each) => each.limit(run));
  const counts = new Map(searches.flatMap((each) => [...each.counts()]));
  const starts = open.starts
    .map((start) => ({ ...start, containers: counts.get(start.id) ?? start.containers }))
    .filter(({ containers }) => containers > 0)
    .map(({ benchDay, strainId, generation, sizeId, containers }) => ({
      ...{ benchDay, strainId, generation, sizeId, containers },
    }));
  const gain = searches.reduce((sum, each) => sum + each.gain, 0);
  return { starts, limitOf, changed: searches.some((each) => each.changed), gain };
}

function firstOf<Thing, Found>(things: readonly Thing[], look: (thing: Thing) => Found | null): Found | null {
  for (const thing of things) {
    const found = look(thing);
    if (found !== null) return found;
  }
  return null;
}
