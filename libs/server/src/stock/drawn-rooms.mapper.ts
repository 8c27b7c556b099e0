import type { DrawnJar, DrawnRooms } from '@jarfold/contracts';
import { type CalendarDay, daysBetween, drawnShare, shelfPlacesOf, storageLife } from '@jarfold/domain';
import type { AlikeJars, StandingJar } from './drawn-rooms.repository.js';
import type { FarmNames } from './farm-names.js';

/** A screen draws at most so many jars that stand on no particular place; the count tells the rest. */
const MOST_LOOSE = 500;

type PlacedJar = DrawnRooms['rooms'][number]['shelves'][number]['jars'][number];

/** What stands on a shelf (or, for null, on none that is known): on a place of its own, or somewhere there. */
interface Standing {
  readonly placed: PlacedJar[];
  readonly loose: DrawnJar[];
}

/** Rooms in use, and archived ones that still hold jars, with every jar on its place. */
export function drawnRoomsJson(groups: readonly AlikeJars[], names: FarmNames, asOf: CalendarDay): DrawnRooms {
  const byShelf = drawByShelf(groups, names, asOf);
  const shelves = [...names.shelves.values()];
  const rooms = [...names.rooms.values()].map((room) => {
    const own = shelves.filter((shelf) => shelf.roomId === room.id && (!shelf.archived || byShelf.has(shelf.id)));
    const standing = own.flatMap((shelf) => byShelf.get(shelf.id) ?? []);
    const loose = standing.flatMap((shelf) => shelf.loose);
    return {
      ...{ id: room.id, name: room.name, kind: room.kind, temperatureC: room.temperatureC, archived: room.archived },
      places: shelfPlacesOf(room.id, shelves),
      jars: standing.reduce((sum, shelf) => sum + shelf.placed.length + shelf.loose.length, 0),
      shelves: own.map((shelf) => ({
        ...{ id: shelf.id, name: shelf.name, rows: shelf.rows, placesPerRow: shelf.placesPerRow },
        jars: (byShelf.get(shelf.id)?.placed ?? []).sort((a, b) => a.row - b.row || a.place - b.place),
      })),
      loose: firstByCode(loose),
      looseCount: loose.length,
    };
  });
  const nowhere = byShelf.get(null)?.loose ?? [];
  return {
    asOf,
    rooms: rooms.filter((room) => !room.archived || room.jars > 0).map(({ archived: _archived, ...room }) => room),
    nowhere: firstByCode(nowhere),
    nowhereCount: nowhere.length,
  };
}

function firstByCode(jars: readonly DrawnJar[]): DrawnJar[] {
  return jars.toSorted((a, b) => (a.code < b.code ? -1 : 1)).slice(0, MOST_LOOSE);
}

function drawByShelf(
  groups: readonly AlikeJars[],
  names: FarmNames,
  asOf: CalendarDay,
): ReadonlyMap<string | null, Standing> {
  const byShelf = new Map<string | null, Standing>();
  for (const group of groups) {
    const alike = alikeJson(group, names, asOf);
    for (const jar of group.jars) {
      const shelfId = jar[4];
      const standing = byShelf.get(shelfId) ?? { placed: [], loose: [] };
      byShelf.set(shelfId, standing);
      draw(jar, alike, standing);
    }
  }
  return byShelf;
}

type Alike = Omit<DrawnJar, 'id' | 'code' | 'keptAsMother' | 'shareColonised'>;

function alikeJson(group: AlikeJars, names: FarmNames, asOf: CalendarDay): Alike {
  const rules = names.rules.get(group.strainId)!;
  const { daysLeft, freshness } = storageLife(group, rules, asOf);
  const unseen = { state: group.state, shareColonised: null, madeOn: group.madeOn };
  return {
    strainCode: names.strains.get(group.strainId)!.code,
    generation: group.generation,
    state: group.state,
    drawnShare: drawnShare(unseen, rules.daysToRipe, asOf),
    ageDays: daysBetween(group.madeOn, asOf),
    daysLeft,
    freshness,
  };
}

/** Written field by field: spreading costs a second object for each of ten thousand jars. */
function draw(jar: StandingJar, alike: Alike, standing: Standing): void {
  const shareColonised = jar[3];
  const drawn: DrawnJar = {
    id: jar[0],
    code: jar[1],
    strainCode: alike.strainCode,
    generation: alike.generation,
    state: alike.state,
    shareColonised,
    drawnShare: shareColonised ?? alike.drawnShare,
    ageDays: alike.ageDays,
    daysLeft: alike.daysLeft,
    freshness: alike.freshness,
    keptAsMother: jar[2],
  };
  const row = jar[5];
  const place = jar[6];
  if (jar[4] === null || row === null || place === null) standing.loose.push(drawn);
  else standing.placed.push(Object.assign(drawn, { row, place }));
}
