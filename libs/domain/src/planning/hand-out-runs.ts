import { WayArrays } from './field-arrays.js';
import type { HandOutLots } from './hand-out-lots.js';
import type { HandOutTally } from './hand-out-trace.js';
import type { Handling } from './handling.js';
import { LITTLE_GRAMS } from './opened-groups.js';
import { PATH_CELL } from './opening-paths.js';
import { firstPlaces } from './shared-limits.js';
import { oldestGeneration, type StrainField } from './strain-field.js';

/** A container is opened for the rest of a run's wish when that is worth at least this share of a new container. */
const WORTH_OPENING = 0.4;

/** Gives one strain's spawn to the runs, in the order in which they are served. */
export class HandOutRuns {
  /** Grams given, by way. */
  readonly covered: Float64Array;
  private readonly field: StrainField;
  private readonly ways: WayArrays;
  private readonly lots: HandOutLots;
  private readonly tally: HandOutTally;
  private readonly handling: Handling;
  private readonly candidates: Int32Array;
  private readonly ranks: Float64Array;
  /** Ways in the order of their days, and the first of them on or after each day. */
  private readonly waysByDay: Int32Array;
  private readonly firstWayFrom: Int32Array;
  private readonly unitWorth: number;
  private readonly generationCost: Float64Array;

  constructor(field: StrainField, lots: HandOutLots, handling: Handling, tally: HandOutTally) {
    this.field = field;
    this.lots = lots;
    this.handling = handling;
    this.tally = tally;
    this.ways = new WayArrays(field.ways);
    this.covered = new Float64Array(field.ways.length);
    this.candidates = new Int32Array(field.lots.length);
    this.ranks = new Float64Array(field.lots.length);
    const { day } = this.ways;
    this.waysByDay = Int32Array.from(day.keys()).sort((one, other) => day[one]! - day[other]! || one - other);
    const days = Array.from(this.waysByDay, (way) => day[way]!);
    this.firstWayFrom = firstPlaces(days, field.situation.horizon + 2);
    this.unitWorth = cheapestUnit(field) * WORTH_OPENING;
    const { perGramGeneration } = field.situation.costs;
    this.generationCost = Float64Array.from(
      { length: oldestGeneration(field) + 1 },
      (_, generation) => perGramGeneration * generation,
    );
  }

  /** Serves the wishes. Stops when the cost has reached the limit: it only grows. */
  feed(chosen: Int32Array, limit: number): void {
    this.covered.fill(0);
    const { serving } = this.handling;
    for (let place = 0; place < serving.length && this.tally.sum < limit; place += 1) {
      const wish = serving[place]!;
      if (this.isChosen(wish >> 1, chosen)) this.feedWish(wish >> 1, (wish & 1) === 1);
    }
  }

  private isChosen(way: number, chosen: Int32Array): boolean {
    return chosen[this.ways.run[way]!] === this.ways.choice[way];
  }

  private pour(group: number, way: number, wanted: number): number {
    const { opened } = this.lots;
    const part = opened.take(group, this.ways.day[way]!, wanted);
    this.tally.sum += part * (this.generationCost[opened.generation[group]!]! + this.ways.other[way]!);
    this.covered[way]! += part;
    this.tally.trace?.toRun(group, way, part);
    return wanted - part;
  }

  private feedWish(way: number, isTarget: boolean): void {
    const { lots, ways } = this;
    const { grams: gramsOf } = lots.arrays;
    const at = lots.useAt[ways.day[way]!]!;
    let wanted = (isTarget ? ways.target[way]! : ways.min[way]!) - this.covered[way]!;
    if (wanted <= LITTLE_GRAMS) return;
    wanted = this.takeRests(way, at, wanted);
    if (wanted <= LITTLE_GRAMS) return;
    const count = this.gather(at, this.handling.freshFirst[way]! === 1);
    let smallest = -1;
    for (let each = 0; each < count; each += 1) {
      const lot = this.candidates[each]!;
      const grams = gramsOf[lot]!;
      if (wanted >= grams) {
        const whole = Math.min(lots.spareOf(lot), Math.floor(wanted / grams + 1e-9));
        wanted = this.pour(lots.open(lot, at, whole), way, wanted);
        if (wanted <= LITTLE_GRAMS) return;
      }
      if (lots.spareOf(lot) > 0 && (smallest < 0 || grams < gramsOf[smallest]!)) smallest = lot;
    }
    const perGram = isTarget ? ways.below[way]! : ways.short[way]!;
    while (smallest >= 0 && wanted > LITTLE_GRAMS && wanted * perGram >= this.unitWorth) {
      wanted = this.pour(lots.open(smallest, at, 1), way, wanted);
      if (lots.spareOf(smallest) <= 0) smallest = this.smallestOf(count);
    }
  }

  /** What stands open comes first. */
  private takeRests(way: number, at: number, grams: number): number {
    const { opened, openFrom } = this.lots;
    const day = this.ways.day[way]!;
    let wanted = grams;
    for (let group = 0; group < this.field.opened.length && wanted > LITTLE_GRAMS; group += 1) {
      if (opened.until[group]! >= day) wanted = this.takeRest(group, way, wanted);
    }
    for (let open = openFrom[at]!; open <= at && wanted > LITTLE_GRAMS; open += 1) {
      for (let group = opened.firstOn[open]!; group >= 0 && wanted > LITTLE_GRAMS; group = opened.next[group]!)
        wanted = this.takeRest(group, way, wanted);
    }
    return wanted;
  }

  private takeRest(group: number, way: number, wanted: number): number {
    const { opened } = this.lots;
    const isThere = opened.rest[group]! > LITTLE_GRAMS && opened.motherOnly[group] === 0;
    return isThere ? this.pour(group, way, wanted) : wanted;
  }

  private smallestOf(count: number): number {
    const { lots } = this;
    const { arrays } = lots;
    let best = -1;
    for (let each = 0; each < count; each += 1) {
      const lot = this.candidates[each]!;
      if (lots.spareOf(lot) > 0 && (best < 0 || arrays.grams[lot]! < arrays.grams[best]!)) best = lot;
    }
    return best;
  }

  /** Lots that can be opened for a run on the day, the first to expire first or the freshest. */
  private gather(at: number, freshFirst: boolean): number {
    const { candidates, ranks } = this;
    const { words, free, forRuns, reaching, firstCell, paths } = this.lots;
    const { cells } = paths;
    const offset = at * PATH_CELL;
    let count = 0;
    for (let word = 0; word < words; word += 1) {
      let bits = free[word]! & forRuns[word]! & reaching[at * words + word]!;
      while (bits !== 0) {
        const lot = (word << 5) + 31 - Math.clz32(bits & -bits);
        bits &= bits - 1;
        const first = cells[firstCell[lot]! + offset]!;
        if (first === Number.POSITIVE_INFINITY) continue;
        const rank = freshFirst ? -first : first;
        let to = count;
        for (; to > 0 && ranks[to - 1]! > rank; to -= 1) {
          candidates[to] = candidates[to - 1]!;
          ranks[to] = ranks[to - 1]!;
        }
        ranks[to] = rank;
        candidates[to] = lot;
        count += 1;
      }
    }
    return count;
  }

  /** What is left in opened containers goes to runs up to their maximum where that is cheaper than throwing it away. */
  pourSurplus(chosen: Int32Array): void {
    const { ways, waysByDay } = this;
    const { opened } = this.lots;
    const perGram = this.field.situation.costs.perGramAgedOut;
    for (let group = 0; group < opened.size; group += 1) {
      if (opened.rest[group]! <= LITTLE_GRAMS) continue;
      if (opened.motherOnly[group] === 0) {
        const until = opened.until[group]!;
        let place = this.firstWayFrom[opened.day[group]!]!;
        for (; place < waysByDay.length && ways.day[waysByDay[place]!]! <= until; place += 1)
          this.pourSurplusTo(group, waysByDay[place]!, chosen, perGram);
      }
      this.tally.sum += opened.rest[group]! * perGram;
    }
  }

  private pourSurplusTo(group: number, way: number, chosen: Int32Array, perGram: number): void {
    if (!this.isChosen(way, chosen)) return;
    const { opened } = this.lots;
    const room = this.ways.max[way]! - this.covered[way]!;
    const cost = this.generationCost[opened.generation[group]!]! + this.ways.other[way]!;
    if (room > LITTLE_GRAMS && opened.rest[group]! > LITTLE_GRAMS && cost < perGram) this.pour(group, way, room);
  }

  /** What the runs lack costs. */
  chargeShortages(chosen: Int32Array): void {
    const { ways } = this;
    let sum = 0;
    for (let way = 0; way < ways.day.length; way += 1) {
      if (!this.isChosen(way, chosen)) continue;
      const covered = this.covered[way]!;
      const least = ways.min[way]!;
      const target = ways.target[way]!;
      if (covered < least) sum += (least - covered) * ways.short[way]!;
      const from = Math.max(least, covered);
      if (from < target) sum += (target - from) * ways.below[way]!;
    }
    this.tally.sum += sum;
  }
}

function cheapestUnit({ situation }: StrainField): number {
  const { costs } = situation;
  const perUnit = situation.sizes
    .filter((size) => size.perCycle >= 1)
    .map((size) => costs.perContainerStarted + (Number.isFinite(size.perCycle) ? costs.perCycle / size.perCycle : 0));
  return perUnit.length === 0 ? 0 : Math.min(...perUnit);
}
