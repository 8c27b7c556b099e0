import type { CheckedFarm } from './check-farm.js';
import { standingOf } from './check-standing.js';
import type { PlannedPreparation, PlannedStart } from './plan.js';

/** Grams in a plan are told to a tenth. */
export const TELLING_G = 0.06;

/** Starts are whole, on bench days, within bench and steriliser, and their inoculum balances. */
export function checkStarts(farm: CheckedFarm): void {
  for (const start of farm.plan.starts) {
    checkStart(farm, start);
    checkInoculum(farm, start);
  }
  checkBenchDays(farm);
  for (const preparation of farm.plan.preparations) checkPreparation(farm, preparation);
  checkCyclesPerDay(farm);
  checkCultures(farm);
}

function checkStart(farm: CheckedFarm, start: PlannedStart): void {
  const strain = farm.strain(start.strainId);
  const day = farm.day(start.benchDay);
  farm.expect(
    Number.isInteger(start.containers) && start.containers > 0,
    () => `${start.id}: ${start.containers} containers`,
  );
  farm.expect(
    strain !== undefined && farm.size(start.sizeId) !== undefined,
    () => `${start.id}: unknown strain or size`,
  );
  if (!strain) return;
  farm.expect(
    start.generation >= 1 && start.generation <= strain.lastGeneration,
    () => `${start.id}: generation ${start.generation}`,
  );
  farm.expect(
    (farm.isBenchDay(day) || standingOf(farm, start).prepared > 0) && day >= 0 && day <= farm.situation.horizonDays,
    () => `${start.id}: ${start.benchDay} is no bench day`,
  );
  farm.expect(farm.day(start.ripeOn) === day + strain.daysToRipe, () => `${start.id}: ripe on ${start.ripeOn}`);
  farm.expect(start.lastSafeDay >= start.benchDay, () => `${start.id}: last safe day ${start.lastSafeDay}`);
}

function checkInoculum(farm: CheckedFarm, start: PlannedStart): void {
  const strain = farm.strain(start.strainId);
  const size = farm.size(start.sizeId);
  if (!strain || !size) return;
  const uses = farm.plan.uses.filter((use) => use.to.kind === 'start' && use.to.start === start.id);
  const given = uses.reduce((sum, use) => sum + use.grams, 0);
  const needed = start.containers * strain.inoculumGramsPerContainer * size.inoculumFactor;
  farm.expect(
    Math.abs(given - needed) <= TELLING_G * (uses.length + 1),
    () => `${start.id}: ${given} g of inoculum for ${needed} g`,
  );
  const named = start.mothers.reduce((sum, mother) => sum + mother.grams, 0);
  farm.expect(
    Math.abs(named - given) <= TELLING_G * (uses.length + 1),
    () => `${start.id}: mothers give ${named} g, uses ${given} g`,
  );
  for (const use of uses) farm.expect(use.day === start.benchDay, () => `${start.id}: inoculated on ${use.day}`);
  const fed = start.feeds.reduce((sum, feed) => sum + feed.grams, 0);
  const toRuns = farm.plan.uses.filter((use) => use.from === start.id && use.to.kind === 'run');
  const drawn = toRuns.reduce((sum, use) => sum + use.grams, 0);
  farm.expect(
    Math.abs(fed - drawn) <= TELLING_G * (toRuns.length + 1),
    () => `${start.id}: feeds ${fed} g, uses ${drawn} g`,
  );
}

function checkBenchDays(farm: CheckedFarm): void {
  const { benchContainersPerDay, benchMinutesPerContainer, ...rhythm } = farm.situation.rhythm;
  for (const day of new Set(farm.plan.starts.map((start) => start.benchDay))) {
    const starts = farm.plan.starts.filter((start) => start.benchDay === day);
    const count = starts.reduce((sum, start) => sum + start.containers, 0);
    const held = starts.reduce((sum, start) => {
      const { prepared, pinned, accepted } = standingOf(farm, start);
      return sum + Math.min(start.containers, prepared + pinned + accepted);
    }, 0);
    farm.expect(count <= Math.max(benchContainersPerDay, held), () => `${day}: ${count} containers on the bench`);
    const given = rhythm.benchMinutesOnDay?.find((each) => each.day === day)?.minutes ?? rhythm.benchMinutesPerDay;
    const minutes = count * benchMinutesPerContainer;
    farm.expect(given === null || count <= held || minutes <= given + 1e-6, () => `${day}: ${minutes} bench minutes`);
    for (const { id } of farm.situation.sizes) {
      const started = starts
        .filter((start) => start.sizeId === id)
        .reduce((sum, start) => sum + Math.max(0, start.containers - standingOf(farm, start).prepared), 0);
      const prepared = farm.plan.preparations
        .filter((preparation) => preparation.benchDay === day)
        .flatMap((preparation) => preparation.containers)
        .filter((each) => each.sizeId === id)
        .reduce((sum, each) => sum + each.count, 0);
      farm.expect(started === prepared, () => `${day}: ${started} of ${id} started, ${prepared} prepared`);
    }
  }
}

function checkPreparation(farm: CheckedFarm, preparation: PlannedPreparation): void {
  const { vesselPlaces, preparationLeadDays, closedDays } = farm.situation.rhythm;
  const where = `preparation for ${preparation.benchDay}`;
  farm.expect(
    Number.isInteger(preparation.cycles) && preparation.cycles >= 0,
    () => `${where}: ${preparation.cycles} cycles`,
  );
  farm.expect(farm.day(preparation.day) >= 0, () => `${where}: before the planning day`);
  farm.expect(
    farm.day(preparation.benchDay) - farm.day(preparation.day) >= preparationLeadDays,
    () => `${where}: on ${preparation.day}`,
  );
  farm.expect(!closedDays.includes(preparation.day), () => `${where}: on the closed day ${preparation.day}`);
  const loads = firstFitLoads(farm, preparation, vesselPlaces);
  farm.expect(loads <= preparation.cycles, () => `${where}: ${loads} loads in ${preparation.cycles} cycles`);
}

/** How many loads the containers take when packed the way a person would: the big ones first, each where it fits. */
function firstFitLoads(farm: CheckedFarm, preparation: PlannedPreparation, places: number): number {
  const sizes = preparation.containers
    .flatMap(({ sizeId, count }) => Array.from({ length: count }, () => farm.size(sizeId)?.vesselPlaces ?? 0))
    .sort((one, other) => other - one);
  const loads: number[] = [];
  for (const size of sizes) {
    const load = loads.findIndex((used) => used + size <= places + 1e-6);
    if (load >= 0) loads[load] = loads[load]! + size;
    else loads.push(size);
  }
  return loads.length;
}

function checkCyclesPerDay(farm: CheckedFarm): void {
  for (const day of new Set(farm.plan.preparations.map((preparation) => preparation.day))) {
    const cycles = farm.plan.preparations
      .filter((preparation) => preparation.day === day)
      .reduce((sum, preparation) => sum + preparation.cycles, 0);
    farm.expect(cycles <= farm.situation.rhythm.cyclesPerPreparationDay, () => `${day}: ${cycles} cycles`);
  }
}

function checkCultures(farm: CheckedFarm): void {
  for (const order of farm.plan.cultures) {
    const supply = farm.strain(order.strainId)?.culture;
    farm.expect(supply !== undefined && supply !== null, () => `${order.id}: ${order.strainId} has no supply`);
    farm.expect(Number.isInteger(order.units) && order.units > 0, () => `${order.id}: ${order.units} units`);
    farm.expect(farm.day(order.orderBy) >= 0, () => `${order.id}: ordered in the past`);
    const lead = farm.day(order.readyOn) - farm.day(order.orderBy);
    farm.expect(lead === supply?.leadDays, () => `${order.id}: ready after ${lead} days`);
  }
  for (const strain of farm.situation.strains) {
    const units = farm.plan.cultures
      .filter((order) => order.strainId === strain.id)
      .reduce((sum, order) => sum + order.units, 0);
    const available = strain.culture?.unitsAvailable ?? Number.POSITIVE_INFINITY;
    farm.expect(units <= available, () => `${strain.id}: ${units} units of culture, ${available} to be had`);
  }
}
