import type { AcceptedSituation } from './accepted-situation.js';
import type { CostParts } from './plan.js';
import type { SpawnModel } from './spawn-model.js';

/** What a whole-number solution costs, by what it is for. The parts add up to the programme's objective. */
export function costParts(model: SpawnModel, values: Float64Array): CostParts {
  const { costs } = model.situation;
  const total = (columns: readonly number[]) => columns.reduce((sum, column) => sum + values[column]!, 0);
  const parts = {
    containers: costs.perContainerStarted * total(model.starts.map((start) => start.column)),
    cycles: model.cycles.reduce((sum, cycle) => sum + cycle.cost * values[cycle.column]!, 0),
    cultures: cultureCost(model, values),
    chilling:
      costs.perContainerChilled * total(model.pools.flatMap((pool) => pool.chillings.map(({ column }) => column))),
    agedOut: costs.perGramAgedOut * thrownAwayGrams(model, values),
    short: model.runs.reduce((sum, run) => sum + costs.perGramShort * run.run.weight * values[run.short]!, 0),
    belowTarget: model.runs.reduce(
      (sum, run) => sum + costs.perGramBelowTarget * run.run.weight * values[run.belowTarget]!,
      0,
    ),
    generation: 0,
    secondChoice: 0,
    mothersMissing: model.reserves.reduce(
      (sum, each) => sum + costs.perMotherMissingDay * (each.until - each.day) * values[each.missing]!,
      0,
    ),
  };
  const used = useCosts(model, values);
  const known = { ...parts, ...used };
  const all = objective(model, values);
  const rest = Object.values(known).reduce((sum, part) => sum + part, 0);
  return { ...known, age: Math.max(0, all - rest) };
}

/** cost·x of the programme. */
export function objective({ programme }: SpawnModel, values: Float64Array): number {
  let sum = 0;
  for (let column = 0; column < programme.columns; column += 1) sum += programme.cost[column]! * values[column]!;
  return sum;
}

function cultureCost({ situation, cultures }: SpawnModel, values: Float64Array): number {
  return cultures.reduce((sum, { strain, orders }) => {
    const perUnit = situation.strains[strain]!.culture?.costPerUnit ?? 0;
    return sum + perUnit * orders.reduce((units, order) => units + values[order.column]!, 0);
  }, 0);
}

function thrownAwayGrams({ pools, buckets }: SpawnModel, values: Float64Array): number {
  const whole = pools.reduce(
    (sum, pool) => sum + pool.gramsEach * pool.discardings.reduce((count, { column }) => count + values[column]!, 0),
    0,
  );
  return whole + buckets.reduce((sum, bucket) => sum + values[bucket.waste]!, 0);
}

function useCosts(model: SpawnModel, values: Float64Array): Pick<CostParts, 'generation' | 'secondChoice'> {
  const { costs }: AcceptedSituation = model.situation;
  let generation = 0;
  let secondChoice = 0;
  for (const use of model.uses) {
    if (use.to.kind !== 'run') continue;
    const grams = values[use.column]!;
    const { run, choices } = model.runs[use.to.run]!;
    generation += costs.perGramGeneration * model.buckets[use.bucket]!.generation * grams;
    secondChoice += costs.perGramSecondChoice * run.strains.indexOf(choices[use.to.choice]!.strain) * grams;
  }
  return { generation, secondChoice };
}
