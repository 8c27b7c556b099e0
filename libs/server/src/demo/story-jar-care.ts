import { PLATE_WEDGE_G } from './story-bench-session.js';
import { byExpiry, colonisedShare, isUsable, lastUseDay, type StoryJar } from './story-jars.js';
import type { StoryWorld } from './story-world.js';

const FINDINGS = [
  'green_mould',
  'green_mould',
  'green_mould',
  'bacteria',
  'bacteria',
  'black_mould',
  'cobweb',
  'unknown',
] as const;
const CHECK_AGES = new Set([5, 10]);

/** What happens to jars between inoculation and use: looking, finding, chilling, clearing out, washing. */
export class JarCare {
  readonly #world: StoryWorld;

  constructor(world: StoryWorld) {
    this.#world = world;
  }

  washWhatWasEmptied(day: number): void {
    const { log, ids } = this.#world;
    const count = this.#world.emptiedToday;
    this.#world.emptiedToday = 0;
    if (count === 0) return;
    log.write(day, 8, 'washed', { sizeId: ids.jarSizeId, count });
    this.#world.clean += count;
  }

  /** Every lot is looked at on its fifth and tenth day and daily from two days before it should be ripe. */
  walkTheShelves(day: number): void {
    for (const jars of this.#lotsDue(day).values()) this.#lookAt(day, jars);
    this.#dropBlanks(day);
  }

  #lotsDue(day: number): Map<string, StoryJar[]> {
    const lots = new Map<string, StoryJar[]>();
    for (const jar of this.#world.jars) {
      if (jar.isPlate || jar.seenRipe) continue;
      const age = day - jar.madeOn;
      const nearRipe = age >= jar.strain.daysToRipe - 2 && (age - jar.strain.daysToRipe) % 2 === 0;
      if (CHECK_AGES.has(age) || nearRipe) lots.set(jar.lotId, [...(lots.get(jar.lotId) ?? []), jar]);
    }
    return lots;
  }

  #lookAt(day: number, jars: readonly StoryJar[]): void {
    const { log, random } = this.#world;
    const spoiled = jars.filter((jar) => jar.spoilsOn !== null && jar.spoilsOn <= day);
    const sound = jars.filter((jar) => !spoiled.includes(jar));
    if (sound.length > 0) {
      log.write(day, 13, 'checked', {
        jars: sound.map((jar) => {
          const ripe = day >= jar.ripensOn && jar.spoilsOn === null;
          if (ripe) jar.seenRipe = true;
          return {
            jarId: jar.id,
            colonisedShare: ripe ? 1 : colonisedShare(day - jar.madeOn, jar.ripensOn - jar.madeOn + 1),
            ...(ripe ? { ripe } : {}),
          };
        }),
      });
      const mothers = sound.filter((jar) => jar.seenRipe && jar.isMother);
      if (mothers.length > 0) log.write(day, 13, 'mother_kept', { jarIds: mothers.map(({ id }) => id) });
    }
    if (spoiled.length === 0) return;
    log.write(day, 13, 'contamination_found', {
      jarIds: spoiled.map(({ id }) => id),
      finding: random.pick(FINDINGS),
      sure: random.chance(0.8),
    });
    // The last day's finds still stand on the shelf, so that a visitor sees what one looks like.
    if (this.#world.isLastDay(day)) return;
    log.write(day, 16, 'discarded', { jarIds: spoiled.map(({ id }) => id), reason: 'contaminated' });
    for (const jar of spoiled) this.#world.takeAway(jar);
  }

  #dropBlanks(day: number): void {
    const due = this.#world.blankPlaces.filter(({ until }) => until <= day);
    this.#world.blankPlaces = this.#world.blankPlaces.filter(({ until }) => until > day);
    for (const { place, jarId } of due) {
      this.#world.log.write(day, 15, 'discarded', { jarIds: [jarId], reason: 'surplus' });
      this.#world.warm.giveBack(place);
      this.#world.emptiedToday += 1;
    }
  }

  /** Ripe jars that no run takes soon go into the cold; what is too old goes out. */
  chillAndClear(day: number, isLast: boolean): void {
    const { log, cold } = this.#world;
    const waiting = this.#world.jars.filter(
      (jar) =>
        isUsable(jar, day, this.#opened) &&
        !jar.isPlate &&
        jar.openedOn === null &&
        jar.chilledOn === null &&
        jar.strain.mayBeChilled &&
        day - jar.ripensOn >= 4,
    );
    const chosen = waiting.sort(byExpiry(this.#opened)).slice(0, cold.free);
    if (chosen.length > 0) {
      log.write(day, 16.5, 'chilled', { jarIds: chosen.map(({ id }) => id) });
      log.write(day, 16.6, 'moved', { moves: chosen.flatMap((jar) => this.#toTheCold(jar, day)) });
    }
    this.#forgetSome(day);
    this.#releaseOldMothers(day);
    // On the last day only small rests go out: a visitor should find some work left.
    const old = this.#world.jars.filter((jar) => (isLast && !jar.isPlate ? isRest(jar) : this.#isTooOld(jar, day)));
    if (old.length === 0) return;
    log.write(day, 17, 'discarded', { jarIds: old.map(({ id }) => id), reason: 'aged_out' });
    for (const jar of old) this.#world.takeAway(jar);
  }

  #isTooOld(jar: StoryJar, day: number): boolean {
    const usedUp = jar.isPlate && jar.openedOn !== null && jar.leftG < 2 * PLATE_WEDGE_G;
    return jar.seenRipe && !jar.forgotten && (usedUp || lastUseDay(jar, this.#opened) <= day);
  }

  get #opened(): number {
    return this.#world.plan.openedLifeDays;
  }

  /** Four chilled jars of one lot end up where nobody looks for them. */
  #forgetSome(day: number): void {
    const { forgotten } = this.#world.plan.mishaps;
    if (forgotten === null || this.#world.jars.some((jar) => jar.forgotten)) return;
    if (this.#world.daysAgo(day) > forgotten.daysAgo) return;
    const lots = new Map<string, StoryJar[]>();
    for (const jar of this.#world.jars)
      if (jar.strain.shortCode === forgotten.strain && jar.cold && jar.chilledOn === day && !jar.isMother)
        lots.set(jar.lotId, [...(lots.get(jar.lotId) ?? []), jar]);
    const lot = [...lots.values()].find((jars) => jars.length >= 2);
    for (const jar of lot?.slice(0, 4) ?? []) jar.forgotten = true;
  }

  /** A mother that nears her end, or has too little left for another jar, goes to a run. */
  #releaseOldMothers(day: number): void {
    const old = this.#world.jars.filter(
      (jar) =>
        jar.isMother &&
        !jar.isPlate &&
        isUsable(jar, day, this.#opened) &&
        (lastUseDay(jar, this.#opened) - day < (jar.openedOn === null ? 10 : 1) || jar.leftG < jar.strain.inoculumG),
    );
    if (old.length === 0) return;
    this.#world.log.write(day, 16.7, 'mother_released', { jarIds: old.map(({ id }) => id) });
    for (const jar of old) jar.isMother = false;
  }

  #toTheCold(jar: StoryJar, day: number): { jarId: string; place: { shelfId: string; row: number; place: number } }[] {
    const place = this.#world.cold.take();
    jar.chilledOn = day;
    if (!place) return [];
    if (jar.place) this.#world.warm.giveBack(jar.place);
    jar.cold = true;
    jar.place = place;
    return [{ jarId: jar.id, place }];
  }
}

/** An opened jar that is no mother, or holds too little to be one for long. */
const isRest = ({ openedOn, isMother, leftG }: StoryJar): boolean => openedOn !== null && (!isMother || leftG < 300);
