import { LotArrays } from './field-arrays.js';
import type { HandOutTally } from './hand-out-trace.js';
import type { Handling } from './handling.js';
import { NO_LOT, OpenedGroups } from './opened-groups.js';
import {
  CHILLING_HABITS,
  type OpeningPaths,
  PATH_CELL,
  PATH_CHILL_DAY,
  PATH_COST,
  PATH_OPEN_DAY,
} from './opening-paths.js';
import { oldestGeneration, type StrainField } from './strain-field.js';
import type { StrainTakings } from './strain-takings.js';

/** The containers of one strain while they are handed out: which lots are in play, what is unopened, what stands open. */
export class HandOutLots {
  readonly arrays: LotArrays;
  readonly paths: OpeningPaths;
  readonly opened: OpenedGroups;
  /** Containers left unopened, by lot. */
  readonly left: Int32Array;
  /** Lots that have containers, in the order in which they came in. */
  readonly play: Int32Array;
  playing = 0;
  /** One bit for each lot that has unopened containers. */
  readonly unopened: Int32Array;
  /** One bit for each lot that has unopened containers which are not kept back from runs. */
  readonly free: Int32Array;
  /** Words of bits for all lots. */
  readonly words: number;
  /** By day of use, as a place, and word: the lots that some path leads to the day. */
  readonly reaching: Int32Array;
  /** By generation and word: the lots of it. */
  readonly ofGeneration: Int32Array;
  /** By word: the lots that runs may have. */
  readonly forRuns: Int32Array;
  /** Places of the lot's paths in the path table, by its habit of chilling. */
  readonly firstCell: Int32Array;
  /** Days of use, as places; -1 for a day on which nothing is used. */
  readonly useAt: Int32Array;
  readonly days: number;
  /** By day of use, as a place: the first place on which what is opened may still be used on the day. */
  readonly openFrom: Int32Array;
  private readonly field: StrainField;
  private readonly takings: StrainTakings;
  private readonly tally: HandOutTally;
  private readonly handling: Handling;

  constructor(field: StrainField, handling: Handling, takings: StrainTakings, tally: HandOutTally) {
    const { lots, situation, useDays, paths } = field;
    this.field = field;
    this.handling = handling;
    this.takings = takings;
    this.tally = tally;
    this.paths = paths;
    this.arrays = new LotArrays(lots, situation.horizon, takings);
    this.opened = new OpenedGroups(lots.length, useDays.length);
    this.left = new Int32Array(lots.length);
    this.play = new Int32Array(lots.length);
    this.firstCell = new Int32Array(lots.length);
    this.days = useDays.length;
    const { openedLifeDays } = situation.rhythm;
    this.openFrom = Int32Array.from(useDays, (day) => useDays.findIndex((each) => each >= day - openedLifeDays));
    this.words = (lots.length + 31) >> 5;
    this.unopened = new Int32Array(this.words);
    this.free = new Int32Array(this.words);
    this.reaching = new Int32Array(this.words * useDays.length);
    this.ofGeneration = new Int32Array(this.words * (oldestGeneration(field) + 1));
    this.forRuns = new Int32Array(this.words);
    this.setBits();
    this.useAt = new Int32Array(situation.horizon + 2).fill(-1);
    useDays.forEach((day, place) => {
      this.useAt[day] = place;
    });
  }

  private setBits(): void {
    const { lots } = this.field;
    lots.forEach((lot, place) => {
      const word = place >> 5;
      const bit = 1 << (place & 31);
      this.ofGeneration[lot.generation * this.words + word]! |= bit;
      if (!lot.motherOnly) this.forRuns[word]! |= bit;
      for (let at = 0; at < this.days; at += 1) {
        if (this.isReaching(place, at)) this.reaching[at * this.words + word]! |= bit;
      }
    });
  }

  private isReaching(lot: number, at: number): boolean {
    for (let habit = 0; habit < CHILLING_HABITS; habit += 1) {
      const cell = ((lot * CHILLING_HABITS + habit) * this.days + at) * PATH_CELL;
      if (this.paths.cells[cell] !== Number.POSITIVE_INFINITY) return true;
    }
    return false;
  }

  /** Begins with what is on hand. */
  reset(): void {
    const { field, opened } = this;
    for (let place = 0; place < this.playing; place += 1) this.left[this.play[place]!] = 0;
    this.playing = 0;
    this.unopened.fill(0);
    this.free.fill(0);
    opened.clear();
    for (let place = 0; place < field.opened.length; place += 1) {
      const { generation, motherOnly, until, grams } = field.opened[place]!;
      opened.stand(until, generation, Number(motherOnly), grams);
    }
    for (let lot = 0; lot < field.stockLots; lot += 1) this.enter(lot, this.arrays.count[lot]!);
  }

  enter(lot: number, count: number): void {
    this.play[this.playing] = lot;
    this.playing += 1;
    this.left[lot] = count;
    if (count > 0) this.unopened[lot >> 5]! |= 1 << (lot & 31);
    if (this.spareOf(lot) > 0) this.free[lot >> 5]! |= 1 << (lot & 31);
    this.firstCell[lot] = (lot * CHILLING_HABITS + this.handling.chilling[lot]!) * this.days * PATH_CELL;
    if (this.arrays.inCold[lot] === 1) this.standCold(lot, 0, this.arrays.endPlace[lot]!, count);
    else this.standWarm(lot, this.arrays.fromPlace[lot]!, this.arrays.endPlace[lot]!, count);
  }

  /** Containers of the lot stand warm from a counting day, given as a place, until before another. */
  standWarm(lot: number, from: number, to: number, count: number): void {
    this.takings.warm(this.arrays.size[lot]!, from, to, count);
    if (this.arrays.isMother[lot] === 1) this.takings.mothers(from, to, count);
  }

  standCold(lot: number, from: number, to: number, count: number): void {
    this.takings.cold(this.arrays.size[lot]!, from, to, count);
    if (this.arrays.isMother[lot] === 1) this.takings.mothers(from, to, count);
  }

  /** Unopened containers that are not kept back from runs; below 0 when fewer are left than were to be kept. */
  spareOf(lot: number): number {
    return this.left[lot]! - this.handling.keptBack[lot]!;
  }

  /** Takes unopened containers off a lot. */
  take(lot: number, count: number): void {
    const left = this.left[lot]! - count;
    this.left[lot] = left;
    if (this.spareOf(lot) > 0) return;
    this.free[lot >> 5]! &= ~(1 << (lot & 31));
    if (left === 0) this.unopened[lot >> 5]! &= ~(1 << (lot & 31));
  }

  /** Opens containers for a use on a day, given as a place; tells their group. */
  open(lot: number, at: number, count: number): number {
    const { arrays, takings } = this;
    const { cells } = this.paths;
    const cell = this.firstCell[lot]! + at * PATH_CELL;
    const chillDay = cells[cell + PATH_CHILL_DAY]!;
    const openDay = cells[cell + PATH_OPEN_DAY]!;
    this.tally.sum += count * cells[cell + PATH_COST]!;
    this.take(lot, count);
    const openPlace = takings.placeOf(openDay);
    if (chillDay >= 0) {
      const chillPlace = takings.placeOf(chillDay);
      this.standWarm(lot, chillPlace, arrays.endPlace[lot]!, -count);
      this.standCold(lot, chillPlace, openPlace, count);
    } else if (arrays.inCold[lot] === 1) this.standCold(lot, openPlace, arrays.endPlace[lot]!, -count);
    else this.standWarm(lot, openPlace, arrays.endPlace[lot]!, -count);
    return this.openGroup(lot, openDay, chillDay, count);
  }

  /** Opens one container on a day before that of its use; tells its group. */
  openEarly(lot: number, day: number): number {
    const { arrays, field } = this;
    const age = Math.max(0, day - arrays.from[lot]!);
    this.tally.sum += field.situation.costs.perGramDayOld * arrays.grams[lot]! * age;
    this.take(lot, 1);
    this.standWarm(lot, this.takings.placeOf(day), arrays.endPlace[lot]!, -1);
    return this.openGroup(lot, day, -1, 1);
  }

  private openGroup(lot: number, day: number, chillDay: number, count: number): number {
    const { opened, arrays } = this;
    const grams = count * arrays.grams[lot]!;
    const known = opened.find(lot, day, chillDay);
    if (known >= 0) {
      opened.more(known, count, grams);
      return known;
    }
    const until = day + this.field.situation.rhythm.openedLifeDays;
    const at = this.useAt[day]!;
    return opened.add(lot, day, at, until, chillDay, arrays.generation[lot]!, arrays.motherOnly[lot]!, count, grams);
  }

  /** What becomes of everything that is not opened, and when the opened ones are clean again. */
  finish(): void {
    const { arrays, opened, takings, tally } = this;
    const { costs, horizon, rhythm } = this.field.situation;
    for (let group = 0; group < opened.size; group += 1) {
      const lot = opened.lot[group]!;
      if (lot !== NO_LOT)
        takings.giveBack(arrays.size[lot]!, opened.lastUse[group]! + rhythm.washingDays, opened.count[group]!);
    }
    for (let place = 0; place < this.playing; place += 1) {
      const lot = this.play[place]!;
      const left = this.left[lot]!;
      if (left === 0) continue;
      const end = arrays.until[lot]! + 1;
      if (arrays.inCold[lot] === 1)
        tally.sum += left * costs.perGramDayOld * arrays.grams[lot]! * Math.min(end, horizon);
      if (end > horizon) continue;
      tally.sum += left * costs.perGramAgedOut * arrays.grams[lot]!;
      takings.giveBack(arrays.size[lot]!, end + rhythm.washingDays, left);
    }
  }
}
