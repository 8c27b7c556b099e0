import type { DrawnJar, DrawnRooms, Jar, JarDetail, StockRow } from '@jarfold/contracts';
import {
  type CalendarDay,
  daysBetween,
  drawnShare,
  type OnHandState,
  type StockRow as StockRowValues,
  shelfPlacesOf,
  storageLife,
} from '@jarfold/domain';
import { type FarmNames, placeOf } from './farm-names.js';
import { isOnHand, type JarRow } from './jar-row.js';

/** A screen draws at most so many jars that stand on no particular place; the count tells the rest. */
const MOST_LOOSE = 500;

export function stockRowJson(row: StockRowValues, names: Pick<FarmNames, 'strains'>): StockRow {
  const strain = names.strains.get(row.strainId)!;
  return {
    ...row,
    strainCode: strain.code,
    strainName: strain.name,
    ages: row.ages.map((band) => ({ ...band })),
    freshness: { ...row.freshness },
  };
}

export function jarJson(jar: JarRow, names: FarmNames, asOf: CalendarDay): Jar {
  const strain = names.strains.get(jar.strainId)!;
  const { lotId: _lotId, warmedOn: _warmedOn, shelfId: _shelfId, row: _row, place: _place, ...shown } = jar;
  return {
    ...shown,
    strainCode: strain.code,
    strainName: strain.name,
    sizeName: names.sizes.get(jar.sizeId)!.name,
    place: placeOf(names, jar),
    ageDays: daysBetween(jar.madeOn, asOf),
    ...lifeJson(jar, names, asOf),
  };
}

function lifeJson(
  jar: JarRow,
  names: FarmNames,
  asOf: CalendarDay,
): Pick<Jar, 'ripeOn' | 'ripeExpected' | 'expiresOn' | 'daysLeft' | 'freshness'> {
  const { state } = jar;
  if (!isOnHand(state)) {
    return { ripeOn: jar.ripeOn, ripeExpected: false, expiresOn: null, daysLeft: null, freshness: 'none' };
  }
  return storageLife({ ...jar, state }, names.rules.get(jar.strainId)!, asOf);
}

export function relativeJson({ id, code, generation, state, madeOn }: JarRow): JarDetail['mothers'][number] {
  return { jarId: id, code, generation, state, madeOn };
}

/** Rooms in use, and archived ones that still hold jars, with every jar on its place. */
export function drawnRoomsJson(jars: readonly JarRow[], names: FarmNames, asOf: CalendarDay): DrawnRooms {
  const byShelf = groupByShelf(jars);
  const shelves = [...names.shelves.values()];
  const lives = new LifeByDays(names, asOf);
  const draw = (jar: JarRow) => drawnJarJson(jar, names, lives);
  const rooms = [...names.rooms.values()].map((room) => {
    const own = shelves.filter((shelf) => shelf.roomId === room.id && (!shelf.archived || byShelf.has(shelf.id)));
    const standing = own.flatMap((shelf) => byShelf.get(shelf.id) ?? []);
    const loose = standing.filter((jar) => jar.row === null || jar.place === null);
    return {
      ...{ id: room.id, name: room.name, kind: room.kind, temperatureC: room.temperatureC, archived: room.archived },
      places: shelfPlacesOf(room.id, shelves),
      jars: standing.length,
      shelves: own.map((shelf) => ({
        ...{ id: shelf.id, name: shelf.name, rows: shelf.rows, placesPerRow: shelf.placesPerRow },
        jars: (byShelf.get(shelf.id) ?? []).flatMap((jar) =>
          jar.row === null || jar.place === null ? [] : [{ ...draw(jar), row: jar.row, place: jar.place }],
        ),
      })),
      loose: loose.slice(0, MOST_LOOSE).map(draw),
      looseCount: loose.length,
    };
  });
  const nowhere = byShelf.get(null) ?? [];
  return {
    asOf,
    rooms: rooms.filter((room) => !room.archived || room.jars > 0).map(({ archived: _archived, ...room }) => room),
    nowhere: nowhere.slice(0, MOST_LOOSE).map(draw),
    nowhereCount: nowhere.length,
  };
}

function groupByShelf(jars: readonly JarRow[]): Map<string | null, JarRow[]> {
  const byShelf = new Map<string | null, JarRow[]>();
  for (const jar of jars) {
    const standing = byShelf.get(jar.shelfId);
    if (standing) standing.push(jar);
    else byShelf.set(jar.shelfId, [jar]);
  }
  return byShelf;
}

function drawnJarJson(jar: JarRow, names: FarmNames, lives: LifeByDays): DrawnJar {
  const state = jar.state as OnHandState;
  const { daysLeft, freshness, ageDays, grownShare } = lives.of(jar);
  return {
    ...{ id: jar.id, code: jar.code, generation: jar.generation, state, keptAsMother: jar.keptAsMother },
    strainCode: names.strains.get(jar.strainId)!.code,
    shareColonised: jar.shareColonised,
    drawnShare: jar.shareColonised ?? grownShare,
    ...{ ageDays, daysLeft, freshness },
  };
}

type Life = Pick<DrawnJar, 'daysLeft' | 'freshness' | 'ageDays'> & { readonly grownShare: number };

/** Jars made together have the same days: their life is worked out once for all of them. */
class LifeByDays {
  private readonly known = new Map<string, Life>();

  constructor(
    private readonly names: FarmNames,
    private readonly asOf: CalendarDay,
  ) {}

  of(jar: JarRow): Life {
    const { strainId, generation, state, madeOn, ripeOn, chilledOn, warmedOn, openedOn } = jar;
    const key = [strainId, generation, state, madeOn, ripeOn, chilledOn, warmedOn, openedOn].join();
    const known = this.known.get(key);
    if (known) return known;
    const life = this.workOut(jar, state as OnHandState);
    this.known.set(key, life);
    return life;
  }

  private workOut(jar: JarRow, state: OnHandState): Life {
    const rules = this.names.rules.get(jar.strainId)!;
    const { daysLeft, freshness } = storageLife({ ...jar, state }, rules, this.asOf);
    const unseen = { state, shareColonised: null, madeOn: jar.madeOn };
    const grownShare = drawnShare(unseen, rules.daysToRipe, this.asOf);
    return { daysLeft, freshness, ageDays: daysBetween(jar.madeOn, this.asOf), grownShare };
  }
}
