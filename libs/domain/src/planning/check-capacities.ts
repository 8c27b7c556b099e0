import type { CheckedFarm } from './check-farm.js';
import type { SourceLife } from './check-sources.js';
import { standingOf } from './check-standing.js';
import type { RoomKind } from './situation.js';

/** Shelves and clean containers, day by day. */
export function checkCapacities(farm: CheckedFarm, sources: readonly SourceLife[]): void {
  checkShelf(farm, sources, 'incubation');
  checkShelf(farm, sources, 'cold');
  for (const size of farm.situation.sizes) {
    if (size.cleanEmpty !== null) checkClean(farm, sources, size.id, size.cleanEmpty);
  }
}

function checkShelf(farm: CheckedFarm, sources: readonly SourceLife[], kind: RoomKind & ('incubation' | 'cold')): void {
  const rooms = farm.situation.rooms.filter((room) => room.kind === kind);
  if (rooms.length === 0 && kind === 'incubation') return;
  const places = rooms.reduce((sum, room) => sum + room.places, 0);
  for (let day = 0; day <= farm.situation.horizonDays; day += 1) {
    const taken = placesTaken(farm, sources, day, kind);
    // What stood there on the planning day is not thrown out for want of places.
    const held = kind === 'incubation' ? heldPlaces(farm, day) : 0;
    const allowed = Math.max(places, untouchedPlaces(farm, sources, day, kind) + held);
    farm.expect(taken <= allowed + 1e-6, () => `day ${day}: ${taken} of ${allowed} ${kind} places`);
  }
}

function placesTaken(
  farm: CheckedFarm,
  sources: readonly SourceLife[],
  day: number,
  kind: 'incubation' | 'cold',
): number {
  let taken = 0;
  for (const source of sources) {
    if (source.standsFrom > day || source.startsOpened) continue;
    const places = farm.size(source.sizeId)!.shelfPlaces;
    for (const fate of source.fates) {
      if (day >= fate.endDay) continue;
      const isCold = fate.chilledDay !== null && fate.chilledDay <= day;
      if (isCold === (kind === 'cold')) taken += places;
    }
  }
  return taken;
}

/** Places of starts that are held, as long as their warm life lasts. */
function heldPlaces(farm: CheckedFarm, day: number): number {
  return farm.plan.starts.reduce((sum, start) => {
    const { warmLifeDays } = farm.strain(start.strainId)!;
    const stands = farm.day(start.benchDay) <= day && day <= farm.day(start.ripeOn) + warmLifeDays;
    const { prepared, pinned, accepted } = standingOf(farm, start);
    const held = Math.min(start.containers, prepared + pinned + accepted);
    return stands ? sum + held * farm.size(start.sizeId)!.shelfPlaces : sum;
  }, 0);
}

function untouchedPlaces(
  farm: CheckedFarm,
  sources: readonly SourceLife[],
  day: number,
  kind: 'incubation' | 'cold',
): number {
  let places = 0;
  for (const source of sources) {
    const isStock = !farm.plan.starts.some((start) => start.id === source.from);
    if (!isStock || source.startsOpened || source.startsCold !== (kind === 'cold')) continue;
    const strain = farm.strain(source.strainId)!;
    const chilled = source.fates[0]?.chilledDay ?? source.ripe;
    const until = source.startsCold ? chilled + strain.coldLifeDays : source.ripe + strain.warmLifeDays;
    if (day <= until) places += farm.size(source.sizeId)!.shelfPlaces;
  }
  return places;
}

function checkClean(farm: CheckedFarm, sources: readonly SourceLife[], sizeId: string, onHand: number): void {
  const { washingDays } = farm.situation.rhythm;
  const back = sources
    .filter((source) => source.sizeId === sizeId)
    .flatMap((source) => source.fates.map((fate) => fate.emptyDay + washingDays));
  const taken = farm.plan.preparations.map((preparation) => ({
    day: farm.day(preparation.day),
    count: preparation.containers.filter((each) => each.sizeId === sizeId).reduce((sum, each) => sum + each.count, 0),
  }));
  for (const { day } of taken) {
    const used = taken.filter((each) => each.day <= day).reduce((sum, each) => sum + each.count, 0);
    const clean = onHand + back.filter((cleanDay) => cleanDay <= day).length;
    farm.expect(used <= clean, () => `day ${day}: ${used} of ${sizeId} filled, ${clean} were clean`);
  }
}
