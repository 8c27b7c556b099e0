import type { AcceptedSituation, AcceptedStrain } from './accepted-situation.js';
import type { Lot } from './field-lot.js';

/** Chilled only when the warm life would not reach, which saves the chilling. */
export const CHILLED_LATE = 0;
/** Chilled whenever that is possible, which saves incubation places. */
export const CHILLED_SOON = 1;
/** Never chilled, which saves cold places. */
export const CHILLED_NEVER = 2;
export const CHILLING_HABITS = 3;

/**
 * What stands in a cell of the path table. One array and not several: a search reads cells here and there, and what is
 * asked together should lie together.
 */
export const PATH_CELL = 4;
/** The first to expire first, then the cheapest; Infinity where there is no path. */
export const PATH_RANK = 0;
/** Waiting and chilling of one container. */
export const PATH_COST = 1;
/** The day it is opened: as a rule the day of use, an earlier one for what is too old by then. */
export const PATH_OPEN_DAY = 2;
/** The day the plan puts it into the cold, -1 when it does not. */
export const PATH_CHILL_DAY = 3;

export interface OpeningPaths {
  /**
   * For every lot and every day of use how a container of it would be opened for it, for each habit of chilling. The cell
   * of a lot, habit and day begins at ((lot × habits + habit) × days + place of the day) × {@link PATH_CELL}.
   */
  readonly cells: Float64Array;
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
  const { openedLifeDays } = situation.rhythm;
  const earlyDay = new Int16Array(lots.length * useDays.length).fill(-1);
  const before = useDays.map((day) => runDays.filter((early) => early < day && day - early <= openedLifeDays));
  lots.forEach((lot, place) => {
    if (lot.inCold || !lot.isMother) return;
    before.forEach((days, at) => {
      const cell = place * useDays.length + at;
      for (const early of days) {
        if (lot.from <= early && early <= lot.until && early > earlyDay[cell]!) earlyDay[cell] = early;
      }
    });
  });
  return { cells: new PathWriter(situation, strain, useDays, lots.length).write(lots), earlyDay };
}

/** Writes the paths of lots into a table, cell by cell: there are many, and most lead nowhere. */
class PathWriter {
  private readonly situation: AcceptedSituation;
  private readonly strain: AcceptedStrain;
  private readonly useDays: readonly number[];
  private readonly cells: Float64Array;

  constructor(situation: AcceptedSituation, strain: AcceptedStrain, useDays: readonly number[], lots: number) {
    this.situation = situation;
    this.strain = strain;
    this.useDays = useDays;
    this.cells = new Float64Array(lots * CHILLING_HABITS * useDays.length * PATH_CELL);
    for (let cell = 0; cell < this.cells.length; cell += PATH_CELL) this.cells[cell] = Number.POSITIVE_INFINITY;
  }

  write(lots: readonly Lot[]): Float64Array {
    lots.forEach((lot, place) => {
      this.writeLot(lot, place * CHILLING_HABITS * this.useDays.length);
    });
    return this.cells;
  }

  private writeLot(lot: Lot, firstCell: number): void {
    const { useDays, strain } = this;
    const { openedLifeDays } = this.situation.rhythm;
    const chilledUntil = (lot.chillDays.at(-1) ?? Number.NEGATIVE_INFINITY) + strain.coldLifeDays;
    const last = Math.max(lot.until + openedLifeDays, chilledUntil);
    // The last day of use on which it can be opened where it stands.
    let lastOpening = -1;
    for (let at = 0; at < useDays.length && useDays[at]! <= last; at += 1) {
      const day = useDays[at]!;
      if (day < lot.from) continue;
      if (day <= lot.until) lastOpening = day;
      for (let habit = 0; habit < CHILLING_HABITS; habit += 1)
        this.writeCell(lot, day, habit, firstCell + habit * useDays.length + at, lastOpening);
    }
  }

  private writeCell(lot: Lot, day: number, habit: number, cell: number, lastOpening: number): void {
    if (lot.inCold) {
      this.writeFromCold(lot, day, cell);
      return;
    }
    const isWarm = day <= lot.until;
    const staysWarm = habit === CHILLED_NEVER || (isWarm && habit === CHILLED_LATE);
    if (!staysWarm && this.writeChilled(lot, day, cell)) return;
    if (isWarm) this.writeWarm(lot, day, cell);
    else if (lot.chillDays.length === 0 || habit === CHILLED_NEVER) this.writeOpenedEarly(lot, day, cell, lastOpening);
  }

  /** What is in the cold today has to stand warm before it is opened. */
  private writeFromCold(lot: Lot, day: number, cell: number): void {
    if (day > lot.until || day < this.situation.rhythm.warmUpDays) return;
    this.set(cell, day, -1, lot.until, this.waiting(lot, day));
  }

  private writeChilled(lot: Lot, day: number, cell: number): boolean {
    const { coldLifeDays } = this.strain;
    const { rhythm, costs } = this.situation;
    for (const chillDay of lot.chillDays) {
      if (chillDay + rhythm.warmUpDays >= day || day > chillDay + coldLifeDays) continue;
      const cost = costs.perContainerChilled + this.waiting(lot, day - lot.from);
      this.set(cell, day, chillDay, chillDay + coldLifeDays, cost);
      return true;
    }
    return false;
  }

  private writeWarm(lot: Lot, openDay: number, cell: number): void {
    this.set(cell, openDay, -1, lot.until, this.waiting(lot, openDay - lot.from));
  }

  private writeOpenedEarly(lot: Lot, day: number, cell: number, lastOpening: number): void {
    const { openedLifeDays } = this.situation.rhythm;
    if (lastOpening >= 0 && day - lastOpening <= openedLifeDays) this.writeWarm(lot, lastOpening, cell);
  }

  private waiting(lot: Lot, days: number): number {
    return this.situation.costs.perGramDayOld * lot.gramsEach * Math.max(0, days);
  }

  private set(cell: number, openDay: number, chillDay: number, expires: number, cost: number): void {
    const { cells } = this;
    const at = cell * PATH_CELL;
    cells[at + PATH_RANK] = expires + 1e-3 * cost;
    cells[at + PATH_COST] = cost;
    cells[at + PATH_OPEN_DAY] = openDay;
    cells[at + PATH_CHILL_DAY] = chillDay;
  }
}
