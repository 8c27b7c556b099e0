import type { AcceptedSituation, AcceptedStrain } from './accepted-situation.js';
import type { Lot } from './field-lot.js';

/** Ways a container of a lot can reach a use. */
export const NO_PATH = 0;
export const WARM_PATH = 1;
export const COLD_PATH = 2;

/** Chilled only when the warm life would not reach, which saves the chilling. */
export const CHILLED_LATE = 0;
/** Chilled whenever that is possible, which saves incubation places. */
export const CHILLED_SOON = 1;
/** Never chilled, which saves cold places. */
export const CHILLED_NEVER = 2;
export const CHILLING_HABITS = 3;

/**
 * For every lot and every day of use how a container of it would be opened for it, for each habit of chilling. The cell
 * of a lot, habit and day is (lot × habits + habit) × days + place of the day.
 */
export interface PathTable {
  readonly kind: Uint8Array;
  /** The day it is opened: as a rule the day of use, an earlier one for what is too old by then. */
  readonly openDay: Int16Array;
  /** The day the plan puts it into the cold, -1 when it does not. */
  readonly chillDay: Int16Array;
  /** Last day on which it could be used on this path. */
  readonly expires: Int16Array;
  /** Waiting and chilling of one container. */
  readonly cost: Float64Array;
}

export interface OpeningPaths extends PathTable {
  /** By lot and day of use: a run's day shortly before on which a mother can be opened, so that the run takes the rest; -1 when there is none. */
  readonly earlyDay: Int16Array;
}

/** Works out all paths of a strain's lots beforehand, because a search asks for them all the time. */
export function openingPaths(
  situation: AcceptedSituation,
  strain: AcceptedStrain,
  lots: readonly Lot[],
  useDays: readonly number[],
  runDays: readonly number[],
): OpeningPaths {
  const finder = new PathFinder(situation, strain, useDays);
  const { openedLifeDays } = situation.rhythm;
  const earlyDay = new Int16Array(lots.length * useDays.length).fill(-1);
  lots.forEach((lot, place) => {
    if (lot.inCold || !lot.isMother) return;
    useDays.forEach((day, at) => {
      for (const early of runDays) {
        const isOpen = early < day && day - early <= openedLifeDays && lot.from <= early && early <= lot.until;
        if (isOpen) earlyDay[place * useDays.length + at] = Math.max(early, earlyDay[place * useDays.length + at]!);
      }
    });
  });
  return { ...finder.table(lots), earlyDay };
}

interface Path {
  readonly kind: number;
  readonly openDay: number;
  readonly chillDay: number;
  readonly expires: number;
  readonly cost: number;
}

class PathFinder {
  private readonly situation: AcceptedSituation;
  private readonly strain: AcceptedStrain;
  private readonly useDays: readonly number[];

  constructor(situation: AcceptedSituation, strain: AcceptedStrain, useDays: readonly number[]) {
    this.situation = situation;
    this.strain = strain;
    this.useDays = useDays;
  }

  table(lots: readonly Lot[]): PathTable {
    const length = lots.length * CHILLING_HABITS * this.useDays.length;
    const table = {
      kind: new Uint8Array(length),
      openDay: new Int16Array(length),
      chillDay: new Int16Array(length).fill(-1),
      expires: new Int16Array(length),
      cost: new Float64Array(length),
    };
    lots.forEach((lot, place) => {
      this.useDays.forEach((day, at) => {
        for (let habit = 0; habit < CHILLING_HABITS; habit += 1) {
          const path = this.pathOf(lot, day, habit);
          if (path === null) continue;
          const cell = (place * CHILLING_HABITS + habit) * this.useDays.length + at;
          table.kind[cell] = path.kind;
          table.openDay[cell] = path.openDay;
          table.chillDay[cell] = path.chillDay;
          table.expires[cell] = path.expires;
          table.cost[cell] = path.cost;
        }
      });
    });
    return table;
  }

  private pathOf(lot: Lot, day: number, habit: number): Path | null {
    if (day < lot.from) return null;
    if (lot.inCold) return this.fromCold(lot, day);
    const isWarm = day <= lot.until;
    const staysWarm = habit === CHILLED_NEVER || (isWarm && habit === CHILLED_LATE);
    const cold = staysWarm ? null : this.chilled(lot, day);
    if (cold !== null) return cold;
    if (isWarm) return this.warm(lot, day);
    return lot.chillDays.length === 0 || habit === CHILLED_NEVER ? this.openedEarly(lot, day) : null;
  }

  /** What is in the cold today has to stand warm before it is opened. */
  private fromCold(lot: Lot, day: number): Path | null {
    if (day > lot.until || day < this.situation.rhythm.warmUpDays) return null;
    return { kind: COLD_PATH, openDay: day, chillDay: -1, expires: lot.until, cost: this.waiting(lot, day) };
  }

  private chilled(lot: Lot, day: number): Path | null {
    const { coldLifeDays } = this.strain;
    const { rhythm, costs } = this.situation;
    const chillDay = lot.chillDays.find((each) => each + rhythm.warmUpDays < day && day <= each + coldLifeDays);
    if (chillDay === undefined) return null;
    const cost = costs.perContainerChilled + this.waiting(lot, day - lot.from);
    return { kind: COLD_PATH, openDay: day, chillDay, expires: chillDay + coldLifeDays, cost };
  }

  private warm(lot: Lot, openDay: number): Path {
    return { kind: WARM_PATH, openDay, chillDay: -1, expires: lot.until, cost: this.waiting(lot, openDay - lot.from) };
  }

  private openedEarly(lot: Lot, day: number): Path | null {
    const { openedLifeDays } = this.situation.rhythm;
    const openDay = this.useDays.findLast((each) => each <= lot.until && each >= lot.from);
    return openDay !== undefined && day - openDay <= openedLifeDays ? this.warm(lot, openDay) : null;
  }

  private waiting(lot: Lot, days: number): number {
    return this.situation.costs.perGramDayOld * lot.gramsEach * Math.max(0, days);
  }
}
