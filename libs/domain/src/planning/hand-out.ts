import { FRESHEST, type Handling, MOTHER_ORDERS, plainHandling, SMALLEST } from './handling.js';
import { CHILLED_NEVER, CHILLING_HABITS, COLD_PATH, NO_PATH, type OpeningPaths } from './opening-paths.js';
import type { ReserveDay } from './reserve-days.js';
import { firstPlaces, type SharedLimits, type StrainLoad } from './shared-limits.js';
import { oldestGeneration, type StrainField } from './strain-field.js';

/** So dear that no plan that breaks a shared limit is ever kept. */
export const UNBREAKABLE = 1e5;
/** A container is opened for the rest of a run's wish when that is worth at least this share of a new container. */
const WORTH_OPENING = 0.4;
export const LITTLE_GRAMS = 1e-6;
/** Group of containers that were open on the planning day: it belongs to no lot. */
export const NO_LOT = -1;

/** Containers of a lot that are opened together: on one day, on one path. */
export interface OpenedGroup {
  readonly lot: number;
  readonly openDay: number;
  readonly chillDay: number;
  readonly count: number;
}

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
  readonly handling: Handling;
  /** Containers left unopened, by lot. */
  readonly left: Int32Array;
  /** Opened groups: the first are those open on the planning day. */
  readonly groupLot: number[] = [];
  readonly groupDay: number[] = [];
  readonly groupUntil: number[] = [];
  readonly groupChill: number[] = [];
  readonly groupCount: number[] = [];
  readonly groupRest: number[] = [];
  readonly groupLastUse: number[] = [];
  groups = 0;
  readonly covered: Float64Array;
  load: StrainLoad;
  broken = 0;
  trace: HandOutTrace | null = null;

  private readonly shared: SharedLimits;
  private readonly reserves: readonly ReserveDay[];
  /** Groups with grams left in them. */
  private readonly rests: number[] = [];
  private readonly isListed: boolean[] = [];
  private restCount = 0;
  private readonly groupGeneration: number[] = [];
  private readonly groupMotherOnly: boolean[] = [];
  private readonly lotFrom: Int32Array;
  private readonly lotEnd: Int32Array;
  private readonly lotGrams: Float64Array;
  private readonly lotGeneration: Int32Array;
  private readonly lotSize: Int32Array;
  private readonly lotCount: Int32Array;
  private readonly lotIsMother: Uint8Array;
  private readonly lotMotherOnly: Uint8Array;
  private readonly lotInCold: Uint8Array;
  private readonly shelfPlaces: Float64Array;
  private readonly cycleShare: Float64Array;
  private readonly countedPlace: Int32Array;
  private readonly reserveAt: Int32Array;
  private readonly reserve: Float64Array;
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
  private readonly cultureGrams: Float64Array;
  private readonly unitWorth: number;
  private baseChange = 0;
  private countsChanges = true;
  private readonly perStart: number;
  private readonly generationCost: Float64Array;
  private readonly wayRun: Int32Array;
  private readonly wayChoice: Int32Array;
  private readonly wayDay: Int32Array;
  private readonly wayMin: Float64Array;
  private readonly wayTarget: Float64Array;
  private readonly wayMax: Float64Array;
  private readonly wayShort: Float64Array;
  private readonly wayBelow: Float64Array;
  private readonly wayOther: Float64Array;
  private readonly reserveRequired: Float64Array;
  /** What a mother missing from the reserve costs, by reserve day. */
  private readonly reserveCost: Float64Array;
  private readonly lotChillable: Uint8Array;
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
    this.shared = shared;
    this.reserves = reserves;
    const { lots, options, situation, ways, useDays } = field;
    const { horizon, sizes, costs } = situation;
    this.lotFrom = Int32Array.from(lots, (lot) => lot.from);
    this.lotEnd = Int32Array.from(lots, (lot) => Math.min(lot.until, horizon) + 1);
    this.lotGrams = Float64Array.from(lots, (lot) => lot.gramsEach);
    this.lotGeneration = Int32Array.from(lots, (lot) => lot.generation);
    this.lotSize = Int32Array.from(lots, (lot) => lot.size);
    this.lotCount = Int32Array.from(lots, (lot) => lot.onHand.length);
    this.lotIsMother = Uint8Array.from(lots, (lot) => Number(lot.isMother));
    this.lotMotherOnly = Uint8Array.from(lots, (lot) => Number(lot.motherOnly));
    this.lotInCold = Uint8Array.from(lots, (lot) => Number(lot.inCold));
    this.left = new Int32Array(lots.length);
    this.play = new Int32Array(lots.length);
    this.forRuns = new Int32Array(lots.length);
    this.candidates = new Int32Array(lots.length);
    this.ranks = new Float64Array(lots.length);
    this.shelfPlaces = Float64Array.from(sizes, (size) => size.shelfPlaces);
    this.cycleShare = Float64Array.from(sizes, (size) => (Number.isFinite(size.perCycle) ? 1 / size.perCycle : 0));
    this.countedPlace = Int32Array.from(sizes, (size) => shared.countedSizes.indexOf(size.index));
    this.reserveAt = firstPlaces(
      reserves.map(({ day }) => day),
      horizon + 3,
    );
    this.reserve = new Float64Array(reserves.length + 1);
    this.covered = new Float64Array(ways.length);
    this.handling = plainHandling(field);
    this.days = useDays.length;
    this.useAt = new Int32Array(horizon + 2).fill(-1);
    useDays.forEach((day, place) => {
      this.useAt[day] = place;
    });
    this.wanted = new Float64Array(field.strain.lastGeneration + 2);
    this.cultureGrams = new Float64Array(field.cultures.length + field.slots.length);
    this.unitWorth = cheapestUnit(field) * WORTH_OPENING;
    this.countChanges(true);
    this.perStart = costs.perContainerStarted;
    const oldest = oldestGeneration(field);
    this.generationCost = Float64Array.from(
      { length: oldest + 1 },
      (_, generation) => costs.perGramGeneration * generation,
    );
    this.wayRun = Int32Array.from(ways, (way) => way.run);
    this.wayChoice = Int32Array.from(ways, (way) => way.choice);
    this.wayDay = Int32Array.from(ways, (way) => way.day);
    this.wayMin = Float64Array.from(ways, (way) => way.minGrams);
    this.wayTarget = Float64Array.from(ways, (way) => way.targetGrams);
    this.wayMax = Float64Array.from(ways, (way) => way.maxGrams);
    this.wayShort = Float64Array.from(ways, (way) => way.perGramShort);
    this.wayBelow = Float64Array.from(ways, (way) => way.perGramBelow);
    this.wayOther = Float64Array.from(ways, (way) => way.perGramOther);
    this.reserveRequired = Float64Array.from(reserves, ({ required }) => required);
    this.reserveCost = Float64Array.from(reserves, ({ day, until }) => costs.perMotherMissingDay * (until - day));
    this.lotChillable = Uint8Array.from(lots, (lot) =>
      Number(lot.isMother && lot.chillDays.length > 0 && lot.until < horizon),
    );
    this.present = new Int32Array(options.length);
    this.presentSlot = new Int32Array(options.length);
    this.paths = field.paths;
    this.load = shared.emptyLoad();
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

  /** The load of the last hand-out; the caller keeps it. */
  takeLoad(): StrainLoad {
    const { load } = this;
    this.load = this.shared.emptyLoad();
    return load;
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
    this.addBenchCosts();
    if (this.sum >= limit || !this.inoculate(counts)) return Number.POSITIVE_INFINITY;
    this.feedRuns(chosen);
    this.pourSurplus(chosen);
    this.chargeShortages(chosen);
    if (this.sum >= limit) return Number.POSITIVE_INFINITY;
    this.keepMothers();
    this.finish();
    this.addPlaceCosts();
    return this.sum;
  }

  private reset(): void {
    const { load, field } = this;
    this.sum = this.baseChange;
    load.bench.fill(0);
    load.cycles.fill(0);
    load.warmPlaces.fill(0);
    load.coldPlaces.fill(0);
    for (let size = 0; size < load.clean.length; size += 1) load.clean[size]!.fill(0);
    this.reserve.fill(0);
    this.covered.fill(0);
    this.left.fill(0);
    this.playing = 0;
    this.groups = 0;
    this.restCount = 0;
    for (let place = 0; place < field.opened.length; place += 1) {
      const { generation, motherOnly, until, grams } = field.opened[place]!;
      this.addGroup(NO_LOT, 0, until, -1, generation, motherOnly, grams);
      this.groupCount[place] = 0;
    }
    for (let lot = 0; lot < field.stockLots; lot += 1) this.enter(lot, this.lotCount[lot]!);
  }

  private enter(lot: number, count: number): void {
    this.play[this.playing] = lot;
    this.playing += 1;
    this.left[lot] = count;
    if (this.lotInCold[lot] === 1) this.standCold(lot, 0, this.lotEnd[lot]!, count);
    else this.standWarm(lot, this.lotFrom[lot]!, this.lotEnd[lot]!, count);
  }

  private start(counts: Int32Array): void {
    const { options, stockLots } = this.field;
    const { load } = this;
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
      load.bench[slot]! += count;
      load.cycles[slot]! += made * this.cycleShare[option.size]!;
      const counted = this.countedPlace[option.size]!;
      if (counted >= 0) load.clean[counted]![slot]! += made;
      this.span(load.warmPlaces, slot, option.slot.day, option.ripeDay, count * this.shelfPlaces[option.size]!);
      this.enter(stockLots + place, count);
    }
  }

  private span(sums: Float64Array, _: number, from: number, to: number, amount: number): void {
    const { handlingAt } = this.shared;
    const last = handlingAt.length - 1;
    sums[handlingAt[from < last ? from : last]!]! += amount;
    sums[handlingAt[to < last ? to : last]!]! -= amount;
  }

  private standWarm(lot: number, from: number, to: number, count: number): void {
    this.span(this.load.warmPlaces, 0, from, to, count * this.shelfPlaces[this.lotSize[lot]!]!);
    if (this.lotIsMother[lot] === 1) this.standMother(from, to, count);
  }

  private standCold(lot: number, from: number, to: number, count: number): void {
    this.span(this.load.coldPlaces, 0, from, to, count * this.shelfPlaces[this.lotSize[lot]!]!);
    if (this.lotIsMother[lot] === 1) this.standMother(from, to, count);
  }

  private standMother(from: number, to: number, count: number): void {
    const { reserveAt } = this;
    const last = reserveAt.length - 1;
    this.reserve[reserveAt[from < last ? from : last]!]! += count;
    this.reserve[reserveAt[to < last ? to : last]!]! -= count;
  }

  /** Gives mothers and cultures to all starts, slot by slot; false when one cannot be inoculated. */
  private inoculate(counts: Int32Array): boolean {
    const { options, strain, cultures } = this.field;
    for (let place = 0; place < cultures.length; place += 1) this.cultureGrams[place] = cultures[place]!.grams;
    this.orders = 0;
    this.unitsLeft = strain.culture?.unitsAvailable ?? Number.POSITIVE_INFINITY;
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

  private orders = 0;
  private unitsLeft = 0;
  private readonly orderDay: number[] = [];

  /** Generation 0 by the gram, the first to expire first; what lacks is ordered in whole units. */
  private takeCulture(slot: number, day: number, grams: number): boolean {
    const { cultures, strain } = this.field;
    let wanted = grams;
    for (let place = 0; place < cultures.length && wanted > LITTLE_GRAMS; place += 1) {
      const { from, until } = cultures[place]!;
      if (from <= day && day <= until) wanted = this.drawCulture(place, wanted);
    }
    for (let order = 0; order < this.orders && wanted > LITTLE_GRAMS; order += 1) {
      if (day - this.orderDay[order]! <= strain.cultureLifeDays)
        wanted = this.drawCulture(cultures.length + order, wanted);
    }
    if (wanted <= LITTLE_GRAMS) return true;
    const { culture } = strain;
    if (culture === null || culture.containersPerUnit <= 0 || day < culture.leadDays) return this.lacks(wanted);
    const perUnit = culture.containersPerUnit * strain.inoculumGrams;
    const units = Math.ceil(wanted / perUnit - 1e-9);
    if (!(units <= this.unitsLeft)) return this.lacks(wanted);
    this.unitsLeft -= units;
    this.sum += units * culture.costPerUnit;
    this.orderDay[this.orders] = day;
    this.cultureGrams[cultures.length + this.orders] = units * perUnit - wanted;
    this.orders += 1;
    this.trace?.ordered(slot, units);
    return true;
  }

  private lacks(grams: number): false {
    this.gift = grams;
    return false;
  }

  private drawCulture(place: number, wanted: number): number {
    const part = Math.min(this.cultureGrams[place]!, wanted);
    this.cultureGrams[place]! -= part;
    return wanted - part;
  }

  private takeMothers(slot: number, day: number, generation: number, grams: number): boolean {
    let wanted = grams;
    this.dropEmpty();
    for (let place = 0; place < this.restCount && wanted > LITTLE_GRAMS; place += 1) {
      const group = this.rests[place]!;
      if (this.groupGeneration[group] !== generation - 1 || !this.isOpenOn(group, day)) continue;
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
      if (this.left[lot] === 0 || this.lotGeneration[lot] !== generation) continue;
      const cell = this.cellOf(lot, at);
      if (this.paths.kind[cell] === NO_PATH) continue;
      let rank = this.lotMotherOnly[lot] === 1 ? 0 : 1e9;
      if (isEarly && this.paths.earlyDay[lot * this.days + at]! < 0) rank += 1e8;
      if (order === SMALLEST) {
        const grams = this.lotGrams[lot]!;
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

  private isOpenOn(group: number, day: number): boolean {
    return this.groupRest[group]! > LITTLE_GRAMS && this.groupDay[group]! <= day && day <= this.groupUntil[group]!;
  }

  private open(lot: number, at: number, count: number): number {
    const cell = this.cellOf(lot, at);
    this.sum += count * this.paths.cost[cell]!;
    const chillDay = this.paths.chillDay[cell]!;
    const openDay = this.paths.openDay[cell]!;
    this.left[lot]! -= count;
    if (this.paths.kind[cell] === COLD_PATH && chillDay < 0) this.standCold(lot, openDay, this.lotEnd[lot]!, -count);
    else if (chillDay < 0) this.standWarm(lot, openDay, this.lotEnd[lot]!, -count);
    else {
      this.standWarm(lot, chillDay, this.lotEnd[lot]!, -count);
      this.standCold(lot, chillDay, openDay, count);
    }
    return this.groupFor(lot, openDay, chillDay, count);
  }

  private openEarly(lot: number, day: number): number {
    this.sum += this.field.situation.costs.perGramDayOld * this.lotGrams[lot]! * Math.max(0, day - this.lotFrom[lot]!);
    this.left[lot]! -= 1;
    this.standWarm(lot, day, this.lotEnd[lot]!, -1);
    return this.groupFor(lot, day, -1, 1);
  }

  private groupFor(lot: number, day: number, chillDay: number, count: number): number {
    const grams = count * this.lotGrams[lot]!;
    for (let group = 0; group < this.groups; group += 1) {
      if (this.groupLot[group] !== lot || this.groupDay[group] !== day || this.groupChill[group] !== chillDay) continue;
      this.groupCount[group]! += count;
      if (this.groupRest[group]! <= LITTLE_GRAMS) this.addRest(group);
      this.groupRest[group]! += grams;
      return group;
    }
    const until = day + this.field.situation.rhythm.openedLifeDays;
    const motherOnly = this.lotMotherOnly[lot] === 1;
    const group = this.addGroup(lot, day, until, chillDay, this.lotGeneration[lot]!, motherOnly, grams);
    this.groupCount[group] = count;
    return group;
  }

  private addGroup(
    lot: number,
    day: number,
    until: number,
    chillDay: number,
    generation: number,
    motherOnly: boolean,
    grams: number,
  ): number {
    const group = this.groups;
    this.groupLot[group] = lot;
    this.groupDay[group] = day;
    this.groupUntil[group] = until;
    this.groupChill[group] = chillDay;
    this.groupRest[group] = grams;
    this.groupLastUse[group] = day;
    this.groupGeneration[group] = generation;
    this.groupMotherOnly[group] = motherOnly;
    this.groups += 1;
    this.isListed[group] = false;
    this.addRest(group);
    return group;
  }

  private addRest(group: number): void {
    if (this.isListed[group]) return;
    this.isListed[group] = true;
    this.rests[this.restCount] = group;
    this.restCount += 1;
  }

  /** Forgets the groups that are empty. */
  private dropEmpty(): void {
    let kept = 0;
    for (let place = 0; place < this.restCount; place += 1) {
      const group = this.rests[place]!;
      if (this.groupRest[group]! <= LITTLE_GRAMS) {
        this.isListed[group] = false;
        continue;
      }
      this.rests[kept] = group;
      kept += 1;
    }
    this.restCount = kept;
  }

  private take(group: number, day: number, wanted: number): number {
    const part = Math.min(this.groupRest[group]!, wanted);
    this.groupRest[group]! -= part;
    if (day > this.groupLastUse[group]!) this.groupLastUse[group] = day;
    return part;
  }

  private pourToStart(group: number, slot: number, day: number, generation: number, wanted: number): number {
    const part = this.take(group, day, wanted);
    this.trace?.toStart(group, slot, generation, part);
    return wanted - part;
  }

  private pourToRun(group: number, way: number, wanted: number): number {
    const part = this.take(group, this.wayDay[way]!, wanted);
    this.sum += part * (this.generationCost[this.groupGeneration[group]!]! + this.wayOther[way]!);
    this.covered[way]! += part;
    this.trace?.toRun(group, way, part);
    return wanted - part;
  }

  private isChosen(way: number, chosen: Int32Array): boolean {
    return chosen[this.wayRun[way]!] === this.wayChoice[way];
  }

  private feedRuns(chosen: Int32Array): void {
    this.opening = 0;
    for (let place = 0; place < this.playing; place += 1) {
      const lot = this.play[place]!;
      if (this.lotMotherOnly[lot] === 1) continue;
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
    for (let way = 0; way < this.wayDay.length; way += 1) {
      if (!this.isChosen(way, chosen)) continue;
      const covered = this.covered[way]!;
      const least = this.wayMin[way]!;
      const target = this.wayTarget[way]!;
      if (covered < least) this.sum += (least - covered) * this.wayShort[way]!;
      const from = Math.max(least, covered);
      if (from < target) this.sum += (target - from) * this.wayBelow[way]!;
    }
  }

  private feedRun(way: number, isTarget: boolean): void {
    let wanted = (isTarget ? this.wayTarget[way]! : this.wayMin[way]!) - this.covered[way]!;
    if (wanted <= LITTLE_GRAMS) return;
    const day = this.wayDay[way]!;
    this.dropEmpty();
    for (let place = 0; place < this.restCount; place += 1) {
      const group = this.rests[place]!;
      if (!this.isOpenOn(group, day) || this.groupMotherOnly[group]) continue;
      wanted = this.pourToRun(group, way, wanted);
      if (wanted <= LITTLE_GRAMS) return;
    }
    const at = this.useAt[day]!;
    const count = this.gather(at, this.handling.freshFirst[way]! === 1);
    let smallest = -1;
    for (let each = 0; each < count; each += 1) {
      const lot = this.candidates[each]!;
      const grams = this.lotGrams[lot]!;
      if (wanted >= grams) {
        const whole = Math.min(this.left[lot]!, Math.floor(wanted / grams + 1e-9));
        wanted = this.pourToRun(this.open(lot, at, whole), way, wanted);
        if (wanted <= LITTLE_GRAMS) return;
      }
      if (this.left[lot]! > 0 && (smallest < 0 || grams < this.lotGrams[smallest]!)) smallest = lot;
    }
    const perGram = isTarget ? this.wayBelow[way]! : this.wayShort[way]!;
    while (smallest >= 0 && wanted > LITTLE_GRAMS && wanted * perGram >= this.unitWorth) {
      wanted = this.pourToRun(this.open(smallest, at, 1), way, wanted);
      if (this.left[smallest]! === 0) smallest = this.smallestOf(count);
    }
  }

  private smallestOf(count: number): number {
    let best = -1;
    for (let each = 0; each < count; each += 1) {
      const lot = this.candidates[each]!;
      if (this.left[lot]! > 0 && (best < 0 || this.lotGrams[lot]! < this.lotGrams[best]!)) best = lot;
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
    const { reserveRequired, reserve } = this;
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
      if (this.left[lot] === 0 || this.lotChillable[lot] === 0 || this.lotEnd[lot]! > day) continue;
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
    this.standWarm(lot, chillDay, this.lotEnd[lot]!, -1);
    // The running sum of the reserve is past its beginning; the caller counts this one from the day on.
    this.standCold(lot, chillDay, end, 1);
    this.sum += costs.perContainerChilled + costs.perGramDayOld * gramsEach * (Math.min(end, horizon) - from);
    if (end <= horizon) {
      this.sum += costs.perGramAgedOut * gramsEach;
      this.giveBack(this.lotSize[lot]!, end + rhythm.washingDays, 1);
    }
    this.trace?.kept(lot, chillDay);
    return true;
  }

  /** What is left in opened containers goes to runs up to their maximum where that is cheaper than throwing it away. */
  private pourSurplus(chosen: Int32Array): void {
    const { ways, situation } = this.field;
    const perGram = situation.costs.perGramAgedOut;
    this.dropEmpty();
    for (let each = 0; each < this.restCount; each += 1) {
      const group = this.rests[each]!;
      if (!this.groupMotherOnly[group]) {
        for (let place = 0; place < ways.length; place += 1) {
          if (!this.isOpenOn(group, this.wayDay[place]!) || !this.isChosen(place, chosen)) continue;
          const room = this.wayMax[place]! - this.covered[place]!;
          const cost = this.generationCost[this.groupGeneration[group]!]! + this.wayOther[place]!;
          if (room > LITTLE_GRAMS && cost < perGram) this.pourToRun(group, place, room);
        }
      }
      this.sum += this.groupRest[group]! * perGram;
    }
  }

  private giveBack(size: number, cleanOn: number, count: number): void {
    const counted = this.countedPlace[size]!;
    if (counted < 0) return;
    const { slotPreparedFrom } = this.shared;
    if (cleanOn < slotPreparedFrom.length) this.load.clean[counted]![slotPreparedFrom[cleanOn]!]! -= count;
  }

  /** What becomes of everything that is not opened, and when the opened ones are clean again. */
  private finish(): void {
    const { situation, lots } = this.field;
    const { costs, horizon, rhythm } = situation;
    for (let group = 0; group < this.groups; group += 1) {
      const lot = this.groupLot[group]!;
      if (lot === NO_LOT) continue;
      this.giveBack(this.lotSize[lot]!, this.groupLastUse[group]! + rhythm.washingDays, this.groupCount[group]!);
    }
    for (let place = 0; place < this.playing; place += 1) {
      const lot = this.play[place]!;
      const left = this.left[lot]!;
      if (left === 0) continue;
      const end = lots[lot]!.until + 1;
      if (this.lotInCold[lot] === 1)
        this.sum += left * costs.perGramDayOld * this.lotGrams[lot]! * Math.min(end, horizon);
      if (end > horizon) continue;
      this.sum += left * costs.perGramAgedOut * this.lotGrams[lot]!;
      this.giveBack(this.lotSize[lot]!, end + rhythm.washingDays, left);
    }
  }

  private addBenchCosts(): void {
    const { shared, load } = this;
    const { total } = shared;
    let broken = 0;
    for (let place = 0; place < this.presents; place += 1) {
      const slot = this.presentSlot[place]!;
      if (place > 0 && this.presentSlot[place - 1] === slot) continue;
      broken += over(total.bench[slot]! + load.bench[slot]!, shared.benchCapacity[slot]!);
      const before = Math.ceil(total.cycles[slot]! - 1e-9);
      const after = Math.ceil(total.cycles[slot]! + load.cycles[slot]! - 1e-9);
      this.sum += (after - before) * shared.cycleCost[slot]!;
      broken += over(after + this.cyclesBeside(slot), shared.cyclesPerDay);
    }
    this.broken = broken;
    this.sum += broken * this.limitPrice;
  }

  private addPlaceCosts(): void {
    const { shared, load } = this;
    const { total } = shared;
    let broken = 0;
    let warm = 0;
    let cold = 0;
    for (let place = 0; place < shared.handlingDays.length; place += 1) {
      warm += load.warmPlaces[place]!;
      cold += load.coldPlaces[place]!;
      load.warmPlaces[place] = warm;
      load.coldPlaces[place] = cold;
      broken += over(total.warmPlaces[place]! + warm, shared.warmCapacity[place]!);
      broken += over(total.coldPlaces[place]! + cold, shared.coldCapacity[place]!);
    }
    for (let size = 0; size < load.clean.length; size += 1) {
      const clean = load.clean[size]!;
      let taken = 0;
      for (let slot = 0; slot < shared.slots.length; slot += 1) {
        taken += clean[slot]!;
        clean[slot] = taken;
        broken += over(taken + total.clean[size]![slot]!, shared.cleanCapacity[size]![slot]!);
      }
    }
    this.broken += broken;
    this.sum += broken * this.limitPrice;
  }

  /** Cycles of other slots that are prepared on the same day. */
  private cyclesBeside(slot: number): number {
    const { shared, load } = this;
    let cycles = 0;
    for (const other of shared.preparedWith[slot]!)
      cycles += Math.ceil(shared.total.cycles[other]! + load.cycles[other]! - 1e-9);
    return cycles;
  }
}

function over(value: number, capacity: number): number {
  return value > capacity + 1e-9 ? value - capacity : 0;
}

function cheapestUnit({ situation }: StrainField): number {
  const { costs } = situation;
  const perUnit = situation.sizes
    .filter((size) => size.perCycle >= 1)
    .map((size) => costs.perContainerStarted + (Number.isFinite(size.perCycle) ? costs.perCycle / size.perCycle : 0));
  return perUnit.length === 0 ? 0 : Math.min(...perUnit);
}
