import type { CheckedFarm } from './check-farm.js';
import type { PlannedStart } from './plan.js';
import { DEFAULT_COST_PER_CONTAINER_CHANGED, type StandingStart } from './situation.js';

type Started = Pick<PlannedStart, 'benchDay' | 'strainId' | 'generation' | 'sizeId'>;

/** Containers that stand of a start, by what holds them. */
export function standingOf({ situation }: CheckedFarm, start: Started): Record<StandingStart['hold'], number> {
  const held = { prepared: 0, pinned: 0, accepted: 0 };
  for (const each of situation.standing ?? []) if (isSame(each, start)) held[each.hold] += each.containers;
  return held;
}

/** Held starts happen as given, unless the plan says why not; nothing else is started where a lead wants a number. */
export function checkStanding(farm: CheckedFarm): void {
  for (const each of farm.situation.standing ?? []) {
    const day = farm.day(each.benchDay);
    if (day < 0 || day > farm.situation.horizonDays || each.hold === 'accepted') continue;
    const { prepared, pinned } = standingOf(farm, each);
    const started = startedOf(farm, each);
    const isExcused = farm.plan.impossible.some(({ code }) => code === 'held-start-not-possible');
    const name = `${each.benchDay} ${each.strainId}`;
    farm.expect(
      started >= prepared + pinned || isExcused,
      () => `${name}: ${started} started, ${prepared + pinned} held`,
    );
    if (each.hold === 'pinned')
      farm.expect(started <= prepared + pinned, () => `${name}: ${started} started, ${prepared + pinned} pinned`);
  }
}

/** Containers more or fewer than accepted, up to the last day of which something was. */
export function changesCost(farm: CheckedFarm): number {
  const { standing = [], costs, horizonDays } = farm.situation;
  const ahead = standing.filter((each) => farm.day(each.benchDay) >= 0 && farm.day(each.benchDay) <= horizonDays);
  const until = Math.max(-1, ...ahead.map((each) => farm.day(each.benchDay)));
  const distinct = ahead.filter(
    (each, place) => farm.strain(each.strainId) && ahead.findIndex((other) => isSame(other, each)) === place,
  );
  const fewer = distinct.reduce((sum, each) => {
    const { prepared, pinned, accepted } = standingOf(farm, each);
    return sum + Math.abs(startedOf(farm, each) - prepared - pinned - accepted);
  }, 0);
  const more = farm.plan.starts
    .filter((start) => farm.day(start.benchDay) <= until && !distinct.some((each) => isSame(each, start)))
    .reduce((sum, start) => sum + start.containers, 0);
  return (fewer + more) * (costs.perContainerChanged ?? DEFAULT_COST_PER_CONTAINER_CHANGED);
}

function startedOf({ plan }: CheckedFarm, start: Started): number {
  return plan.starts.filter((each) => isSame(each, start)).reduce((sum, each) => sum + each.containers, 0);
}

function isSame(one: Started, other: Started): boolean {
  return (
    one.benchDay === other.benchDay &&
    one.strainId === other.strainId &&
    one.generation === other.generation &&
    one.sizeId === other.sizeId
  );
}
