import type { AcceptedSituation } from './accepted-situation.js';
import type { PeggedPlan } from './pegged-plan.js';
import type { CostParts } from './plan.js';

/**
 * What a plan costs, by what it is for. The parts add up to the cost; what is left of it after all that can be counted
 * from the plan's own words is the price of age.
 */
export function costParts(situation: AcceptedSituation, pegged: PeggedPlan, cost: number): CostParts {
  const { costs } = situation;
  const sum = <Thing>(things: readonly Thing[], of: (thing: Thing) => number) =>
    things.reduce((total, thing) => total + of(thing), 0);
  const known = {
    containers: costs.perContainerStarted * sum(pegged.starts, (start) => start.containers),
    cycles: sum(
      pegged.loads,
      (load) => load.cycles * (costs.cycleCostOnDay.get(load.preparationDay) ?? costs.perCycle),
    ),
    cultures: sum(pegged.orders, (order) => order.units * (situation.strains[order.strain]!.culture?.costPerUnit ?? 0)),
    chilling: costs.perContainerChilled * sum(pegged.chillings, (chilling) => chilling.containers),
    agedOut: costs.perGramAgedOut * sum(pegged.discards, (discard) => discard.grams),
    ...shortages(situation, pegged),
    ...uses(situation, pegged),
    mothersMissing: costs.perMotherMissingDay * sum(pegged.lacks, (lack) => lack.missing * (lack.until - lack.day)),
    ...(situation.standing.until < 0 ? {} : { changes: changeCost(situation, pegged) }),
  };
  const rest = Object.values(known).reduce((total, part) => total + part, 0);
  return { ...known, age: Math.max(0, cost - rest) };
}

function shortages(
  { runs, costs }: AcceptedSituation,
  { uses: given }: PeggedPlan,
): Pick<CostParts, 'short' | 'belowTarget'> {
  const covered = runs.map(() => 0);
  for (const { to, grams } of given) if (to.kind === 'run') covered[to.run]! += grams;
  let short = 0;
  let belowTarget = 0;
  runs.forEach(({ minGrams, targetGrams, weight }, place) => {
    short += costs.perGramShort * weight * Math.max(0, minGrams - covered[place]!);
    belowTarget += costs.perGramBelowTarget * weight * Math.max(0, targetGrams - Math.max(minGrams, covered[place]!));
  });
  return { short, belowTarget };
}

function uses(
  { runs, costs, strains }: AcceptedSituation,
  pegged: PeggedPlan,
): Pick<CostParts, 'generation' | 'secondChoice'> {
  let generation = 0;
  let secondChoice = 0;
  for (const use of pegged.uses) {
    if (use.to.kind !== 'run') continue;
    const run = runs[use.to.run]!;
    const days = run.lastDay - run.day + 1;
    generation += costs.perGramGeneration * use.generation * use.grams;
    secondChoice += costs.perGramSecondChoice * Math.floor(use.to.choice / days) * use.grams;
  }
  return strains.length === 0 ? { generation: 0, secondChoice: 0 } : { generation, secondChoice };
}

/** Containers more or fewer than accepted, up to the last day of which something was. */
export function changeCost({ standing, costs }: AcceptedSituation, { starts }: PeggedPlan): number {
  const key = (what: { strain: number; generation: number; size: number; benchDay: number }) =>
    [what.strain, what.generation, what.size, what.benchDay].join('|');
  const counts = new Map(
    starts.filter((start) => start.benchDay <= standing.until).map((start) => [key(start), start.containers]),
  );
  let changed = 0;
  for (const start of standing.starts) {
    changed += Math.abs((counts.get(key(start)) ?? 0) - start.accepted);
    counts.delete(key(start));
  }
  for (const more of counts.values()) changed += more;
  return changed * costs.perContainerChanged;
}
