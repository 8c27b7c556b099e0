import type { CheckedFarm } from './check-farm.js';
import type { SourceLife } from './check-sources.js';
import { changesCost } from './check-standing.js';
import { DEFAULT_COST_PER_CONTAINER_CHILLED, DEFAULT_COST_PER_MOTHER_MISSING_DAY } from './situation.js';

/** Counts the plan's cost again from its own words, and compares. */
export function checkCost(farm: CheckedFarm, sources: readonly SourceLife[]): number {
  const cost =
    startCost(farm) +
    shortageCost(farm) +
    useCost(farm) +
    ageCost(farm, sources) +
    motherCost(farm, sources) +
    changesCost(farm);
  const { plan } = farm;
  const { perGramShort, perGramBelowTarget, perGramAgedOut } = farm.situation.costs;
  const telling =
    0.06 *
    Math.max(perGramShort, perGramBelowTarget, perGramAgedOut) *
    (plan.uses.length + plan.runs.length + plan.discards.length + 1);
  farm.expect(
    Math.abs(cost - plan.cost) <= telling + 1e-4 * plan.cost + 1e-6,
    () => `cost ${plan.cost}, counted again ${cost}`,
  );
  farm.expect(plan.bound <= plan.cost + 1e-6 + 1e-9 * plan.cost, () => `bound ${plan.bound} above cost ${plan.cost}`);
  const parts = Object.values(plan.costParts).reduce((sum: number, part: number) => sum + part, 0);
  farm.expect(
    Math.abs(parts - plan.cost) <= 1e-6 + 1e-6 * plan.cost,
    () => `cost parts add up to ${parts}, not ${plan.cost}`,
  );
  return cost;
}

function startCost({ plan, situation }: CheckedFarm): number {
  const { costs } = situation;
  const containers = plan.starts.reduce((sum, start) => sum + start.containers, 0);
  const cycles = plan.preparations.reduce((sum, preparation) => {
    const special = costs.cycleCostOnDay?.find(({ day }) => day === preparation.day);
    return sum + preparation.cycles * (special?.cost ?? costs.perCycle);
  }, 0);
  const cultures = plan.cultures.reduce((sum, order) => {
    const strain = situation.strains.find((each) => each.id === order.strainId);
    return sum + order.units * (strain?.culture?.costPerUnit ?? 0);
  }, 0);
  const chilled = plan.moves.filter((move) => move.kind === 'chill').reduce((sum, move) => sum + move.containers, 0);
  const discarded = plan.discards.reduce((sum, discard) => sum + discard.grams, 0);
  return (
    containers * costs.perContainerStarted +
    cycles +
    cultures +
    chilled * (costs.perContainerChilled ?? DEFAULT_COST_PER_CONTAINER_CHILLED) +
    discarded * costs.perGramAgedOut
  );
}

function shortageCost(farm: CheckedFarm): number {
  const { runs, costs, horizonDays } = farm.situation;
  return runs.reduce((sum, run) => {
    const coverage = farm.plan.runs.find((each) => each.run === run.id);
    const isPlanned =
      farm.day(run.day) <= horizonDays &&
      farm.day(run.day) + run.slackDays >= 0 &&
      run.strainIds.some((id) => farm.strain(id) !== undefined);
    if (!coverage || !isPlanned) return sum;
    const target = Math.min(run.targetGrams, run.maxGrams);
    const minimum = Math.min(run.minGrams, target);
    const short = Math.max(0, minimum - coverage.coveredGrams);
    const below = Math.max(0, target - Math.max(minimum, coverage.coveredGrams));
    const perGramShort = Math.max(costs.perGramShort, costs.perGramBelowTarget);
    return sum + (short * perGramShort + below * costs.perGramBelowTarget) / Math.max(1, run.priority);
  }, 0);
}

function useCost(farm: CheckedFarm): number {
  const { costs, stock, runs } = farm.situation;
  return farm.plan.uses.reduce((sum, use) => {
    const { to } = use;
    if (to.kind !== 'run') return sum;
    const start = farm.plan.starts.find((each) => each.id === use.from);
    const source = start ?? stock.find((container) => container.code === use.from);
    const run = runs.find((each) => each.id === to.run);
    if (!source || !run) return sum;
    const known = run.strainIds.filter((id) => farm.strain(id) !== undefined);
    const choice = Math.max(0, [...new Set(known)].indexOf(source.strainId));
    return sum + use.grams * (costs.perGramGeneration * source.generation + (costs.perGramSecondChoice ?? 0) * choice);
  }, 0);
}

/** Age at use for what is opened warm; every day in the cold for what stands there. */
function ageCost(farm: CheckedFarm, sources: readonly SourceLife[]): number {
  const { perGramDayOld } = farm.situation.costs;
  let gramDays = 0;
  for (const source of sources) {
    if (source.startsOpened) continue;
    const ripe = Math.max(0, source.ripe);
    for (const fate of source.fates) gramDays += source.gramsEach * daysOfAge(farm, fate, ripe);
  }
  return gramDays * perGramDayOld;
}

function daysOfAge(farm: CheckedFarm, fate: SourceLife['fates'][number], ripe: number): number {
  const end = Math.min(fate.endDay, farm.situation.horizonDays);
  if (fate.chilledDay !== null) return end - Math.max(ripe, fate.chilledDay) + (Math.max(ripe, fate.chilledDay) - ripe);
  return fate.end === 'opened' ? end - ripe : 0;
}

/** Mothers missing from the reserve, counted again on every handling day. */
function motherCost(farm: CheckedFarm, sources: readonly SourceLife[]): number {
  const rate = farm.situation.costs.perMotherMissingDay ?? DEFAULT_COST_PER_MOTHER_MISSING_DAY;
  const { horizonDays } = farm.situation;
  const days = [...new Set([...farm.handlingDays(), horizonDays])].sort((one, other) => one - other);
  let cost = 0;
  for (const strain of farm.situation.strains.filter((each) => each.motherReserve > 0 && each.lastGeneration >= 2)) {
    const mothers = sources.filter(
      (source) => source.strainId === strain.id && source.generation < strain.lastGeneration && !source.startsOpened,
    );
    days.forEach((day, place) => {
      const gap = farm.plan.reserveGaps.find(
        (each) => each.strainId === strain.id && farm.day(each.from) <= day && day < farm.day(each.until),
      );
      const missing = gap?.missing ?? 0;
      cost += rate * missing * ((days[place + 1] ?? day + 1) - day);
      const ripe = mothers.reduce(
        (sum, source) => sum + (source.ripe <= day ? source.fates.filter((fate) => fate.endDay > day).length : 0),
        0,
      );
      const planned = farm.plan.starts.some(
        (start) =>
          start.strainId === strain.id && start.generation < strain.lastGeneration && farm.day(start.ripeOn) <= day,
      );
      farm.expect(
        !planned || ripe + missing >= strain.motherReserve - 0.01,
        () => `day ${day}: ${ripe} mothers of ${strain.id}, ${missing} said to be missing`,
      );
    });
  }
  return cost;
}
