import { CultureDraw } from './culture-draw.js';
import { LotArrays, WayArrays } from './field-arrays.js';
import { FRESHEST, type Handling, MOTHER_ORDERS, plainHandling, SMALLEST } from './handling.js';
import { LITTLE_GRAMS, NO_LOT, OpenedGroups } from './opened-groups.js';
import { CHILLED_NEVER, CHILLING_HABITS, COLD_PATH, NO_PATH, type OpeningPaths } from './opening-paths.js';
import type { ReserveDay } from './reserve-days.js';
import type { SharedLimits } from './shared-limits.js';
import { oldestGeneration, type StrainField } from './strain-field.js';
import { StrainTakings } from './strain-takings.js';

/** So dear that no plan that breaks a shared limit is ever kept. */
export const UNBREAKABLE = 1e5;
/** A container is opened for the rest of a run's wish when that is worth at least this share of a new container. */
const WORTH_OPENING = 0.4;

/** What a hand-out does, told while it is asked for. */
export interface HandOutTrace {
  /** Grams from an opened group to a run's way (place in the field's ways). */
  toRun(group: number, way: number, grams: number): void;
  /** Grams from an opened group to the starts of a generation on a slot. */
  toStart(group: number, slot: number, generation: number, grams: number): void;
  /** Culture ordered for a slot. */
  ordered(slot: number, units: number): void;
  /** A mother put into the cold that nobody opens. */
  kept(lot: number, chillDay: number): void;
  /** Mothers missing from the reserve, by place in the reserve days. */
  missing(place: number, count: number): void;
}

/**
 * Hands out whole containers of one strain, given how many are started when: inoculum first, then runs in an order that
 * the search may change, then the mother reserve; what expires first is opened first; warm where the warm life reaches,
 * else from the cold. It is a rule, not an optimum, but it takes microseconds, so that a search can compare thousands of
 * sets of starts. What one call works out stands in the object until the next.
 */
export class HandOut {
  readonly field: StrainField;
  private readonly lots: LotArrays;
  private readonly ways: WayArrays;
  readonly handling: Handling;
  /** Containers left unopened, by lot. */
  readonly left: Int32Array;
  readonly opened = new OpenedGroups();
  readonly covered: Float64Array;
  readonly takings: StrainTakings;
  trace: HandOutTrace | null = null;

  private readonly reserves: readonly ReserveDay[];
  private readonly useAt: Int32Array;
  private readonly days: number;
  private readonly play: Int32Array;
  private playing = 0;
  /** Lots that may still be opened for runs. */
  private readonly forRuns: Int32Array;
  private opening = 0;
  private readonly candidates: Int32Array;
  private readonly ranks: Float64Array;
  private readonly wanted: Float64Array;
  private readonly cultures: CultureDraw;
  private readonly unitWorth: number;
  private baseChange = 0;
  private countsChanges = true;
  private readonly perStart: number;
  private readonly generationCost: Float64Array;
  private readonly reserveRequired: Float64Array;
  /** What a mother missing from the reserve costs, by reserve day. */
  private readonly reserveCost: Float64Array;
  private readonly present: Int32Array;
  private readonly presentSlot: Int32Array;
  private presents = 0;
  private readonly paths: OpeningPaths;
  private limitPrice = UNBREAKABLE;
  private sum = 0;
  /** Generation and slot of the start that lacked inoculum. */
  lackingGeneration = 0;
  lackingSlot = 0;
  lackingGrams = 0;
  /** Whether inoculum that lacks is thought to be there, to see what it would be good for. */
  giftsAllowed = false;
  private gift = 0;

  constructor(field: StrainField, shared: SharedLimits, reserves: readonly ReserveDay[]) {
    this.field = field;
    this.reserves = reserves;
    this.takings = new StrainTakings(
      field,
      shared,
      reserves.map(({ day }) => day),
    );
    const { lots, options, situation, ways, useDays } = field;
    this.lots = new LotArrays(lots, situation.horizon);
    this.ways = new WayArrays(ways);
    const { horizon, costs } = situation;
    this.left = new Int32Array(lots.length);
    this.play = new Int32Array(lots.length);
    this.forRuns = new Int32Array(lots.length);
    this.candidates = new Int32Array(lots.length);
    this.ranks = new Float64Array(lots.length);
    this.covered = new Float64Array(ways.length);
    this.handling = plainHandling(field);
    this.days = useDays.length;
    this.useAt = new Int32Array(horizon + 2).fill(-1);
    useDays.forEach((day, place) => {
      this.useAt[day] = place;
    });
    this.wanted = new Float64Array(field.strain.lastGeneration + 2);
    this.cultures = new CultureDraw(field);
    this.unitWorth = cheapestUnit(field) * WORTH_OPENING;
    this.countChanges(true);
    this.perStart = costs.perContainerStarted;
    const oldest = oldestGeneration(field);
    this.generationCost = Float64Array.from(
      { length: oldest + 1 },
      (_, generation) => costs.perGramGeneration * generation,
    );
    this.reserveRequired = Float64Array.from(reserves, ({ required }) => required);
    this.reserveCost = Float64Array.from(reserves, ({ day, until }) => costs.perMotherMissingDay * (until - day));
    this.present = new Int32Array(options.length);
    this.presentSlot = new Int32Array(options.length);
    this.paths = field.paths;
  }

  /** Whether a start more or fewer than accepted costs something. */
  countChanges(counts: boolean): void {
    this.countsChanges = counts;
    this.baseChange = counts
      ? this.field.options.reduce((sum, option) => sum + option.accepted * option.changeCost, 0)
      : 0;
  }

  setLimitPrice(price: number): void {
    this.limitPrice = price;
  }

  /**
   * Hands out, given the containers started (by start option) and the chosen way of each run. The shared load must not
   * hold this strain's own part.
   * @param limit when the cost is sure to reach it the rest is not worked out, and Infinity is told
   * @returns what the strain's part of the plan costs, cycles as a change to the farm's sum; Infinity when some start
   * cannot be inoculated.
   */
  evaluate(counts: Int32Array, chosen: Int32Array, limit = Number.POSITIVE_INFINITY): number {
    this.reset();
    this.start(counts);
    this.sum += this.takings.cycleCosts(this.presentSlot, this.presents);
    this.sum += this.takings.broken * this.limitPrice;
    if (this.sum >= limit || !this.inoculate(counts)) return Number.POSITIVE_INFINITY;
    this.feedRuns(chosen);
    this.pourSurplus(chosen);
    this.chargeShortages(chosen);
    if (this.sum >= limit) return Number.POSITIVE_INFINITY;
    this.keepMothers();
    this.finish();
    this.sum += this.takings.addUp() * this.limitPrice;
    return this.sum;
  }

  private reset(): void {
    const { field } = this;
    this.sum = this.baseChange;
    this.takings.clear();
    this.covered.fill(0);
    this.left.fill(0);
    this.playing = 0;
    this.opened.clear();
    for (let place = 0; place < field.opened.length; place += 1) {
      const { generation, motherOnly, until, grams } = field.opened[place]!;
      this.opened.add({ lot: NO_LOT, day: 0, until, chillDay: -1, generation, motherOnly }, 0, grams);
    }
    for (let lot = 0; lot < field.stockLots; lot += 1) this.enter(lot, this.lots.count[lot]!);
  }

  private enter(lot: number, count: number): void {
    this.play[this.playing] = lot;
    this.playing += 1;
    this.left[lot] = count;
    if (this.lots.inCold[lot] === 1) this.standCold(lot, 0, this.lots.end[lot]!, count);
    else this.standWarm(lot, this.lots.from[lot]!, this.lots.end[lot]!, count);
  }

  private start(counts: Int32Array): void {
    const { options, stockLots } = this.field;
    this.presents = 0;
    for (let place = 0; place < options.length; place += 1) {
      const count = counts[place]!;
      if (count === 0) continue;
      const option = options[place]!;
      const slot = option.slot.index;
      this.present[this.presents] = place;
      this.presentSlot[this.presents] = slot;
      this.presents += 1;
      const made = Math.max(0, count - option.prepared);
      this.sum += count * this.perStart;
      if (this.countsChanges && option.changeCost > 0)
        this.sum += option.changeCost * (Math.abs(count - option.accepted) - option.accepted);
      this.takings.start(slot, option.size, count, made);
      this.takings.warm(option.size, option.slot.day, option.ripeDay, count);
      this.enter(stockLots + place, count);
    }
  }

  private standWarm(lot: number, from: number, to: number, count: number): void {
    this.takings.warm(this.lots.size[lot]!, from, to, count);
    if (this.lots.isMother[lot] === 1) this.takings.mothers(from, to, count);
  }

  private standCold(lot: number, from: number, to: number, count: number): void {
    this.takings.cold(this.lots.size[lot]!, from, to, count);
    if (this.lots.isMother[lot] === 1) this.takings.mothers(from, to, count);
  }

  /** Gives mothers and cultures to all starts, slot by slot; false when one cannot be inoculated. */
  private inoculate(counts: Int32Array): boolean {
    const { options } = this.field;
    this.cultures.clear();
    let place = 0;
    while (place < this.presents) {
      const { slot } = options[this.present[place]!]!;
      for (; place < this.presents; place += 1) {
        const start = this.present[place]!;
        const option = options[start]!;
        if (option.slot !== slot) break;
        this.wanted[option.generation]! += counts[start]! * option.inoculumGramsEach;
      }
      if (!this.inoculateSlot(slot.index, slot.day)) return false;
    }
    return true;
  }

  private inoculateSlot(slot: number, day: number): boolean {
    let enough = true;
    for (let generation = 1; generation < this.wanted.length; generation += 1) {
      const grams = this.wanted[generation]!;
      this.wanted[generation] = 0;
      if (grams <= LITTLE_GRAMS || !enough) continue;
      this.gift = 0;
      enough = generation === 1 ? this.takeCulture(slot, day, grams) : this.takeMothers(slot, day, generation, grams);
      if (enough) continue;
      enough = this.giftsAllowed;
      this.lackingGrams = this.gift;
      this.lackingGeneration = generation;
      this.lackingSlot = slot;
    }
    return enough;
  }

  private takeCulture(slot: number, day: number, grams: number): boolean {
    const { culture } = this.field.strain;
    const wanted = this.cultures.draw(day, grams);
    if (wanted <= LITTLE_GRAMS) return true;
    const units = this.cultures.order(day, wanted);
    if (units === 0 || culture === null) return this.lacks(wanted);
    this.sum += units * culture.costPerUnit;
    this.trace?.ordered(slot, units);
    return true;
  }

  private lacks(grams: number): false {
    this.gift = grams;
    return false;
  }

  private takeMothers(slot: number, day: number, generation: number, grams: number): boolean {
    let wanted = grams;
    this.opened.dropEmpty();
    for (let place = 0; place < this.opened.restCount && wanted > LITTLE_GRAMS; place += 1) {
      const group = this.opened.rests[place]!;
      if (this.opened.generation[group] !== generation - 1 || !this.opened.isOpenOn(group, day)) continue;
      wanted = this.pourToStart(group, slot, day, generation, wanted);
    }
    const at = this.useAt[day]!;
    const code = this.handling.mothers[slot * (this.field.strain.lastGeneration + 1) + generation]!;
    const isEarly = code >= MOTHER_ORDERS;
    const order = isEarly ? code - MOTHER_ORDERS : code;
    while (wanted > LITTLE_GRAMS) {
      const lot = this.bestMother(generation - 1, at, wanted, order, isEarly);
      if (lot < 0) return this.lacks(wanted);
      const early = isEarly ? this.paths.earlyDay[lot * this.days + at]! : -1;
      const group = early >= 0 ? this.openEarly(lot, early) : this.open(lot, at, 1);
      wanted = this.pourToStart(group, slot, day, generation, wanted);
    }
    return true;
  }

  /** Set-aside mothers first; then by the order asked for. */
  private bestMother(generation: number, at: number, wanted: number, order: number, isEarly: boolean): number {
    let best = -1;
    let bestRank = Number.POSITIVE_INFINITY;
    for (let place = 0; place < this.playing; place += 1) {
      const lot = this.play[place]!;
      if (this.left[lot] === 0 || this.lots.generation[lot] !== generation) continue;
      const cell = this.cellOf(lot, at);
      if (this.paths.kind[cell] === NO_PATH) continue;
      let rank = this.lots.motherOnly[lot] === 1 ? 0 : 1e9;
      if (isEarly && this.paths.earlyDay[lot * this.days + at]! < 0) rank += 1e8;
      if (order === SMALLEST) {
        const grams = this.lots.grams[lot]!;
        rank += grams >= wanted ? grams - wanted : 1e6 - grams;
      } else {
        const first = this.paths.expires[cell]! + 1e-3 * this.paths.cost[cell]!;
        rank += order === FRESHEST ? 1e4 - first : first;
      }
      if (rank >= bestRank) continue;
      best = lot;
      bestRank = rank;
    }
    return best;
  }

  private cellOf(lot: number, at: number): number {
    return (lot * CHILLING_HABITS + this.handling.chilling[lot]!) * this.days + at;
  }

  private open(lot: number, at: number, count: number): number {
    const cell = this.cellOf(lot, at);
    this.sum += count * this.paths.cost[cell]!;
    const chillDay = this.paths.chillDay[cell]!;
    const openDay = this.paths.openDay[cell]!;
    this.left[lot]! -= count;
    if (this.paths.kind[cell] === COLD_PATH && chillDay < 0) this.standCold(lot, openDay, this.lots.end[lot]!, -count);
    else if (chillDay < 0) this.standWarm(lot, openDay, this.lots.end[lot]!, -count);
    else {
      this.standWarm(lot, chillDay, this.lots.end[lot]!, -count);
      this.standCold(lot, chillDay, openDay, count);
    }
    return this.openLot(lot, openDay, chillDay, count);
  }

  private openEarly(lot: number, day: number): number {
    this.sum +=
      this.field.situation.costs.perGramDayOld * this.lots.grams[lot]! * Math.max(0, day - this.lots.from[lot]!);
    this.left[lot]! -= 1;
    this.standWarm(lot, day, this.lots.end[lot]!, -1);
    return this.openLot(lot, day, -1, 1);
  }

  private openLot(lot: number, day: number, chillDay: number, count: number): number {
    const until = day + this.field.situation.rhythm.openedLifeDays;
    const motherOnly = this.lots.motherOnly[lot] === 1;
    const what = { lot, day, until, chillDay, generation: this.lots.generation[lot]!, motherOnly };
    return this.opened.open(what, count, this.lots.grams[lot]!);
  }

  private pourToStart(group: number, slot: number, day: number, generation: number, wanted: number): number {
    const part = this.opened.take(group, day, wanted);
    this.trace?.toStart(group, slot, generation, part);
    return wanted - part;
  }

  private pourToRun(group: number, way: number, wanted: number): number {
    const part = this.opened.take(group, this.ways.day[way]!, wanted);
    this.sum += part * (this.generationCost[this.opened.generation[group]!]! + this.ways.other[way]!);
    this.covered[way]! += part;
    this.trace?.toRun(group, way, part);
    return wanted - part;
  }

  private isChosen(way: number, chosen: Int32Array): boolean {
    return chosen[this.ways.run[way]!] === this.ways.choice[way];
  }

  private feedRuns(chosen: Int32Array): void {
    this.opening = 0;
    for (let place = 0; place < this.playing; place += 1) {
      const lot = this.play[place]!;
      if (this.lots.motherOnly[lot] === 1) continue;
      this.forRuns[this.opening] = lot;
      this.opening += 1;
    }
    const { serving } = this.handling;
    for (let place = 0; place < serving.length; place += 1) {
      const wish = serving[place]!;
      if (this.isChosen(wish >> 1, chosen)) this.feedRun(wish >> 1, (wish & 1) === 1);
    }
  }

  private chargeShortages(chosen: Int32Array): void {
    for (let way = 0; way < this.ways.day.length; way += 1) {
      if (!this.isChosen(way, chosen)) continue;
      const covered = this.covered[way]!;
      const least = this.ways.min[way]!;
      const target = this.ways.target[way]!;
      if (covered < least) this.sum += (least - covered) * this.ways.short[way]!;
      const from = Math.max(least, covered);
      if (from < target) this.sum += (target - from) * this.ways.below[way]!;
    }
  }

  private feedRun(way: number, isTarget: boolean): void {
    let wanted = (isTarget ? this.ways.target[way]! : this.ways.min[way]!) - this.covered[way]!;
    if (wanted <= LITTLE_GRAMS) return;
    const day = this.ways.day[way]!;
    this.opened.dropEmpty();
    for (let place = 0; place < this.opened.restCount; place += 1) {
      const group = this.opened.rests[place]!;
      if (!this.opened.isOpenOn(group, day) || this.opened.motherOnly[group]) continue;
      wanted = this.pourToRun(group, way, wanted);
      if (wanted <= LITTLE_GRAMS) return;
    }
    const at = this.useAt[day]!;
    const count = this.gather(at, this.handling.freshFirst[way]! === 1);
    let smallest = -1;
    for (let each = 0; each < count; each += 1) {
      const lot = this.candidates[each]!;
      const grams = this.lots.grams[lot]!;
      if (wanted >= grams) {
        const whole = Math.min(this.left[lot]!, Math.floor(wanted / grams + 1e-9));
        wanted = this.pourToRun(this.open(lot, at, whole), way, wanted);
        if (wanted <= LITTLE_GRAMS) return;
      }
      if (this.left[lot]! > 0 && (smallest < 0 || grams < this.lots.grams[smallest]!)) smallest = lot;
    }
    const perGram = isTarget ? this.ways.below[way]! : this.ways.short[way]!;
    while (smallest >= 0 && wanted > LITTLE_GRAMS && wanted * perGram >= this.unitWorth) {
      wanted = this.pourToRun(this.open(smallest, at, 1), way, wanted);
      if (this.left[smallest]! === 0) smallest = this.smallestOf(count);
    }
  }

  private smallestOf(count: number): number {
    let best = -1;
    for (let each = 0; each < count; each += 1) {
      const lot = this.candidates[each]!;
      if (this.left[lot]! > 0 && (best < 0 || this.lots.grams[lot]! < this.lots.grams[best]!)) best = lot;
    }
    return best;
  }

  /** Lots that can be opened for a run on the day, the first to expire first or the freshest. */
  private gather(at: number, freshFirst: boolean): number {
    const { candidates, paths } = this;
    let count = 0;
    let open = 0;
    for (let place = 0; place < this.opening; place += 1) {
      const lot = this.forRuns[place]!;
      if (this.left[lot] === 0) continue;
      this.forRuns[open] = lot;
      open += 1;
      const cell = this.cellOf(lot, at);
      if (paths.kind[cell] === NO_PATH) continue;
      const first = paths.expires[cell]! + 1e-3 * paths.cost[cell]!;
      const rank = freshFirst ? -first : first;
      let to = count;
      for (; to > 0 && this.ranks[to - 1]! > rank; to -= 1) {
        candidates[to] = candidates[to - 1]!;
        this.ranks[to] = this.ranks[to - 1]!;
      }
      this.ranks[to] = rank;
      candidates[to] = lot;
      count += 1;
    }
    this.opening = open;
    return count;
  }

  private keepMothers(): void {
    const { reserveRequired } = this;
    const { reserve } = this.takings;
    let there = 0;
    for (let place = 0; place < reserveRequired.length; place += 1) {
      there += reserve[place]!;
      const required = reserveRequired[place]!;
      while (there < required && this.chillMotherFor(this.reserves[place]!.day)) there += 1;
      if (there >= required) continue;
      this.sum += (required - there) * this.reserveCost[place]!;
      this.trace?.missing(place, required - there);
    }
  }

  /** Chills a mother nobody has a use for and that would be thrown away, so that it is there on the day. */
  private chillMotherFor(day: number): boolean {
    for (let place = this.playing - 1; place >= 0; place -= 1) {
      const lot = this.play[place]!;
      if (this.left[lot] === 0 || this.lots.chillable[lot] === 0 || this.lots.end[lot]! > day) continue;
      if (this.handling.chilling[lot] === CHILLED_NEVER) continue;
      if (this.keep(lot, day)) return true;
    }
    return false;
  }

  private keep(lot: number, day: number): boolean {
    const { lots, strain, situation } = this.field;
    const { costs, horizon, rhythm } = situation;
    const { chillDays, from, gramsEach } = lots[lot]!;
    const chillDay = chillDays.find((each) => each <= day && day <= each + strain.coldLifeDays);
    if (chillDay === undefined) return false;
    const end = Math.min(chillDay + strain.coldLifeDays, horizon) + 1;
    this.left[lot]! -= 1;
    this.standWarm(lot, chillDay, this.lots.end[lot]!, -1);
    // The running sum of the reserve is past its beginning; the caller counts this one from the day on.
    this.standCold(lot, chillDay, end, 1);
    this.sum += costs.perContainerChilled + costs.perGramDayOld * gramsEach * (Math.min(end, horizon) - from);
    if (end <= horizon) {
      this.sum += costs.perGramAgedOut * gramsEach;
      this.takings.giveBack(this.lots.size[lot]!, end + rhythm.washingDays, 1);
    }
    this.trace?.kept(lot, chillDay);
    return true;
  }

  /** What is left in opened containers goes to runs up to their maximum where that is cheaper than throwing it away. */
  private pourSurplus(chosen: Int32Array): void {
    const { ways, situation } = this.field;
    const perGram = situation.costs.perGramAgedOut;
    this.opened.dropEmpty();
    for (let each = 0; each < this.opened.restCount; each += 1) {
      const group = this.opened.rests[each]!;
      if (!this.opened.motherOnly[group]) {
        for (let place = 0; place < ways.length; place += 1) {
          if (!this.opened.isOpenOn(group, this.ways.day[place]!) || !this.isChosen(place, chosen)) continue;
          const room = this.ways.max[place]! - this.covered[place]!;
          const cost = this.generationCost[this.opened.generation[group]!]! + this.ways.other[place]!;
          if (room > LITTLE_GRAMS && cost < perGram) this.pourToRun(group, place, room);
        }
      }
      this.sum += this.opened.rest[group]! * perGram;
    }
  }

  /** What becomes of everything that is not opened, and when the opened ones are clean again. */
  private finish(): void {
    const { situation, lots } = this.field;
    const { costs, horizon, rhythm } = situation;
    for (let group = 0; group < this.opened.size; group += 1) {
      const lot = this.opened.lot[group]!;
      if (lot === NO_LOT) continue;
      this.takings.giveBack(
        this.lots.size[lot]!,
        this.opened.lastUse[group]! + rhythm.washingDays,
        this.opened.count[group]!,
      );
    }
    for (let place = 0; place < this.playing; place += 1) {
      const lot = this.play[place]!;
      const left = this.left[lot]!;
      if (left === 0) continue;
      const end = lots[lot]!.until + 1;
      if (this.lots.inCold[lot] === 1)
        this.sum += left * costs.perGramDayOld * this.lots.grams[lot]! * Math.min(end, horizon);
      if (end > horizon) continue;
      this.sum += left * costs.perGramAgedOut * this.lots.grams[lot]!;
      this.takings.giveBack(this.lots.size[lot]!, end + rhythm.washingDays, left);
    }
  }
}

function cheapestUnit({ situation }: StrainField): number {
  const { costs } = situation;
  const perUnit = situation.sizes
    .filter((size) => size.perCycle >= 1)
    .map((size) => costs.perContainerStarted + (Number.isFinite(size.perCycle) ? costs.perCycle / size.perCycle : 0));
  return perUnit.length === 0 ? 0 : Math.min(...perUnit);
}
