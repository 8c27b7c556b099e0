import { type AnyEffect, type Change, changeKnown, touch } from './effect.js';
import type { EntryOf, ShelfPlace } from './entry.js';
import { ifHereAt, ifStillHere, isOlder } from './jar-presence.js';
import { roundMassG, sumMassG } from './mass.js';
import { impossible } from './outcome.js';
import type { GoneAs, Jar } from './thing.js';

type JarIdsEntry = Extract<
  { [K in keyof KindsWithJarIds]: EntryOf<K> }[keyof KindsWithJarIds],
  { payload: { jarIds: readonly string[] } }
>;
interface KindsWithJarIds {
  contamination_found: true;
  shaken: true;
  chilled: true;
  warmed: true;
  mother_kept: true;
  mother_released: true;
  opened: true;
  emptied: true;
  broken: true;
  discarded: true;
}

/** An observation or handling of jars that were here at that moment; each jar by itself. */
function whileHere(entry: JarIdsEntry, change: (jar: Jar) => Jar): readonly AnyEffect[] {
  return entry.payload.jarIds.map((id) =>
    changeKnown('jar', id, (jar) => ifHereAt(jar, entry.atMs, () => ({ state: change(jar) }))),
  );
}

export function checkedEffects(entry: EntryOf<'checked'>): readonly AnyEffect[] {
  return entry.payload.jars.map((seen) =>
    changeKnown('jar', seen.jarId, (jar) =>
      ifHereAt(jar, entry.atMs, () => {
        const looked = afterLook(jar, seen, entry);
        return seen.netG === undefined ? { state: looked } : weighed(looked, seen.netG);
      }),
    ),
  );
}

type Seen = EntryOf<'checked'>['payload']['jars'][number];

/** The first day a jar is seen ripe stays; what a later look saw of its growth replaces what an earlier look saw. */
function afterLook(jar: Jar, seen: Seen, entry: EntryOf<'checked'>): Jar {
  const ripe = seen.ripe ?? (seen.colonisedShare === 1 || undefined);
  const ripeOn = ripe ? earlier(jar.ripeOn, entry.day) : jar.ripeOn;
  if (isOlder(entry.atMs, jar.colonisedAtMs) || seen.colonisedShare === undefined) return { ...jar, ripeOn };
  return { ...jar, ripeOn, colonisedShare: roundShare(seen.colonisedShare), colonisedAtMs: entry.atMs };
}

/** Looked at by eye: a thousandth is finer than anyone can tell. */
function roundShare(share: number): number {
  return Math.round(share * 1000) / 1000;
}

function earlier<T extends string>(known: T | null, day: T): T {
  return known !== null && known < day ? known : day;
}

/** A weighing says what is left; what the jar once held is restated so that made = drawn + left + discarded holds. */
function weighed(jar: Jar, netG: number): Change<Jar> {
  return ifStillHere(jar, () => {
    if (jar.blank) return impossible('blank-holds-no-spawn', { kind: 'jar', id: jar.id }, { code: jar.code });
    const leftG = roundMassG(netG);
    const madeG = sumMassG(jar.drawnG, leftG, jar.discardedG);
    return { state: { ...jar, leftG, madeG, madeGEstimated: false } };
  });
}

export function contaminationEffects(entry: EntryOf<'contamination_found'>): readonly AnyEffect[] {
  const { finding, sure } = entry.payload;
  return whileHere(entry, (jar) => ({
    ...jar,
    contaminatedOn: earlier(jar.contaminatedOn, entry.day),
    ...(jar.findingSure && !sure ? {} : { finding, findingSure: sure }),
  }));
}

export function shakenEffects(entry: EntryOf<'shaken'>): readonly AnyEffect[] {
  return whileHere(entry, (jar) => ({ ...jar, shakes: jar.shakes + 1, shakenOn: later(jar.shakenOn, entry.day) }));
}

function later<T extends string>(known: T | null, day: T): T {
  return known !== null && known > day ? known : day;
}

export function movedEffects(entry: EntryOf<'moved'>): readonly AnyEffect[] {
  return entry.payload.moves.map(({ jarId, place }) =>
    changeKnown('jar', jarId, (jar) => ifHereAt(jar, entry.atMs, () => ({ state: placed(jar, place, entry.atMs) }))),
  );
}

function placed(jar: Jar, place: ShelfPlace | undefined, atMs: number): Jar {
  return place === undefined || isOlder(atMs, jar.placedAtMs) ? jar : { ...jar, place, placedAtMs: atMs };
}

/** Chilling a jar that is already cold keeps the day its cold life began. */
export function chilledEffects(entry: EntryOf<'chilled'>): readonly AnyEffect[] {
  return whileHere(entry, (jar) => {
    const moved = placed(jar, entry.payload.place, entry.atMs);
    if (isOlder(entry.atMs, jar.coldChangedAtMs)) return moved;
    return { ...moved, chilledOn: jar.chilledOn ?? entry.day, coldChangedAtMs: entry.atMs };
  });
}

export function warmedEffects(entry: EntryOf<'warmed'>): readonly AnyEffect[] {
  return whileHere(entry, (jar) => {
    const moved = placed(jar, entry.payload.place, entry.atMs);
    if (isOlder(entry.atMs, jar.coldChangedAtMs) || jar.chilledOn === null) return moved;
    return { ...moved, chilledOn: null, warmedOn: entry.day, coldChangedAtMs: entry.atMs };
  });
}

export function motherEffects(entry: EntryOf<'mother_kept'> | EntryOf<'mother_released'>): readonly AnyEffect[] {
  const keptAsMother = entry.kind === 'mother_kept';
  return whileHere(entry, (jar) =>
    isOlder(entry.atMs, jar.motherChangedAtMs) ? jar : { ...jar, keptAsMother, motherChangedAtMs: entry.atMs },
  );
}

export function openedEffects(entry: EntryOf<'opened'>): readonly AnyEffect[] {
  return whileHere(entry, (jar) => ({ ...jar, openedOn: earlier(jar.openedOn, entry.day) }));
}

const GONE_AS: Readonly<Record<'emptied' | 'broken' | 'discarded', GoneAs>> = {
  emptied: 'emptied',
  broken: 'broken',
  discarded: 'discarded',
};

/** The end of a jar: what was left in it counts as discarded. */
export function goneEffects(
  entry: EntryOf<'emptied'> | EntryOf<'broken'> | EntryOf<'discarded'>,
): readonly AnyEffect[] {
  return entry.payload.jarIds.map((id) =>
    changeKnown('jar', id, (jar) =>
      ifStillHere(jar, () => ({
        state: {
          ...jar,
          discardedG: sumMassG(jar.discardedG, jar.leftG),
          leftG: 0,
          goneAtMs: entry.atMs,
          goneOn: entry.day,
          goneAs: GONE_AS[entry.kind],
        },
      })),
    ),
  );
}

export function regrowthEffects(entry: EntryOf<'regrowth_tested'>): readonly AnyEffect[] {
  const { jarId, days, regrew } = entry.payload;
  return [
    changeKnown('jar', jarId, (jar) => ({
      state:
        jar.regrowthOn && entry.day < jar.regrowthOn
          ? jar
          : { ...jar, regrowthOn: entry.day, regrowthDays: days, regrew },
    })),
  ];
}

/** A note changes nothing; it needs what it is about to exist, and is found there again. */
export function notedEffects({ payload }: EntryOf<'noted'>): readonly AnyEffect[] {
  const lots: readonly AnyEffect[] = payload.lotId === undefined ? [] : [touch('lot', payload.lotId)];
  return [...lots, ...(payload.jarIds ?? []).map((id) => touch('jar', id))];
}
