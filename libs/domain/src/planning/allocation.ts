import { type HandlingStyle, PLAIN_STYLE, styleKey } from './handling-style.js';
import { type Candidate, type CandidateList, motherCandidates, type RunWish, runWishes } from './open-candidates.js';
import type { SharedLoad, StrainLoad } from './shared-load.js';
import { NONE, type SpawnModel } from './spawn-model.js';
import type { BatchView, ChillingView, ColdStockView, InoculationView, PourView, StrainView } from './strain-view.js';

/** So dear that no plan that breaks a shared limit is ever kept. */
export const UNBREAKABLE = 1e5;
/** A container is opened for the rest of a run's wish when that is worth at least this share of a new container. */
const WORTH_OPENING = 0.4;
const LITTLE_GRAMS = 1e-6;

/** What a style settles beforehand: the wishes of runs and, for each inoculation, the mothers in the order taken. */
interface HandlingOrder {
  readonly wishes: readonly RunWish[];
  readonly mothers: readonly CandidateList[];
}

export interface AllocationResult {
  /** What the strain's part of the plan costs, cycles as a change to the farm's sum. */
  readonly cost: number;
  /** Starts (places in the view's list) that cannot be inoculated, or null when all can. */
  readonly without: readonly number[] | null;
}

/**
 * Hands out whole containers of one strain, given how many are started when: inoculum first, then runs by what a missing
 * gram costs, then the mother reserve; first expired first out; warm where the warm life reaches, else by the cold. It is
 * a rule, not an optimum, but one evaluation takes microseconds, so that thousands of sets of starts can be compared.
 */
export class Allocator {
  private readonly model: SpawnModel;
  private readonly view: StrainView;
  private readonly shared: SharedLoad;
  private readonly cost: Float64Array;
  /** Place of the first handling day on or after each day. */
  private readonly handlingAt: Int32Array;
  /** Place of the first reserve day on or after each day. */
  private readonly reserveAt: Int32Array;
  /** Containers left unopened: by batch, then one by one those in the cold. */
  private readonly left: Int32Array;
  private readonly bucketGrams: Float64Array;
  private readonly orders = new Map<string, HandlingOrder>();
  private order: HandlingOrder;
  private readonly chillableMothers: readonly number[];
  private readonly unitWorth: number;
  /** Unopened mothers on each reserve day. */
  private readonly reserve: Float64Array;
  private readonly covered: Float64Array;
  private readonly shelfPlaces: Float64Array;
  private readonly countedPlace: Int32Array;
  private load: StrainLoad;
  private style: HandlingStyle = PLAIN_STYLE;
  /** Cost of a container, place or cycle beyond a shared limit. */
  private limitPrice = UNBREAKABLE;
  private broken = 0;
  private sum = 0;
  /** Whole-number columns that are not 0; kept only while they are asked for. */
  private recorded: Map<number, number> | null = null;

  constructor(model: SpawnModel, view: StrainView, shared: SharedLoad) {
    this.model = model;
    this.view = view;
    this.shared = shared;
    this.cost = model.programme.cost;
    const { horizon, sizes } = model.situation;
    this.handlingAt = firstPlaces(shared.handlingDays, horizon + 3);
    this.reserveAt = firstPlaces(
      view.reserves.map(({ day }) => day),
      horizon + 3,
    );
    this.left = new Int32Array(view.batches.length + view.coldStock.length);
    this.bucketGrams = new Float64Array(view.buckets.length);
    this.order = this.orderOf(PLAIN_STYLE);
    this.chillableMothers = view.batches
      .flatMap((batch, place) =>
        batch.isMother && batch.chillings.length > 0 && batch.discardDay !== null ? [place] : [],
      )
      .reverse();
    this.unitWorth = cheapestUnit(model) * WORTH_OPENING;
    this.reserve = new Float64Array(view.reserves.length);
    this.covered = new Float64Array(model.runs.length);
    this.shelfPlaces = Float64Array.from(sizes.map((size) => size.shelfPlaces));
    this.countedPlace = Int32Array.from(sizes.map((size) => shared.countedSizes.indexOf(size.index)));
    this.load = shared.emptyLoad();
  }

  /**
   * Hands out, given the containers started (by the view's list of starts) and the chosen way of each run.
   * The shared load must not hold this strain's own part.
   */
  allocate(counts: ArrayLike<number>, chosen: ArrayLike<number>): AllocationResult {
    this.reset(counts);
    const without = this.takeInoculum(counts) ?? this.takeCultures(counts);
    if (without !== null) return { cost: Number.POSITIVE_INFINITY, without };
    this.feedRuns(chosen);
    this.keepMothers();
    this.outlive();
    this.throwAwayRests();
    this.addLimitCosts();
    return { cost: this.sum, without: null };
  }

  /** By how much the last allocation goes beyond shared limits. */
  get beyondLimits(): number {
    return this.broken;
  }

  setLimitPrice(price: number): void {
    this.limitPrice = price;
  }

  setStyle(style: HandlingStyle): void {
    this.style = style;
    this.order = this.orderOf(style);
  }

  private orderOf(style: HandlingStyle): HandlingOrder {
    const key = styleKey(style);
    const known = this.orders.get(key);
    if (known) return known;
    const { model, view } = this;
    const order = { wishes: runWishes(model, view, style), mothers: motherCandidates(model, view, style) };
    this.orders.set(key, order);
    return order;
  }

  /** Allocates and tells the whole-number columns that are not 0. */
  wholeColumns(counts: ArrayLike<number>, chosen: ArrayLike<number>): ReadonlyMap<number, number> {
    const recorded = new Map<number, number>();
    this.recorded = recorded;
    this.allocate(counts, chosen);
    this.recorded = null;
    return recorded;
  }

  /** What the last allocation takes of the shared limits; the caller keeps it. */
  takeLoad(): StrainLoad {
    const load = this.load;
    this.load = this.shared.emptyLoad();
    return load;
  }

  private reset(counts: ArrayLike<number>): void {
    this.sum = 0;
    this.recorded?.clear();
    this.reserve.fill(0);
    this.covered.fill(0);
    this.left.fill(1, this.view.batches.length);
    clearLoad(this.load);
    const { buckets, starts, batches, coldStock } = this.view;
    for (let place = 0; place < buckets.length; place += 1) this.bucketGrams[place] = buckets[place]!.grams;
    for (let local = 0; local < starts.length; local += 1) {
      const count = counts[local]!;
      if (count > 0) this.start(starts[local]!, count);
    }
    for (let place = 0; place < batches.length; place += 1) {
      const batch = batches[place]!;
      const count = batch.onHand + (batch.start === NONE ? 0 : counts[batch.start]!);
      this.left[place] = count;
      if (count > 0) this.standWarm(batch, batch.from, this.warmEnd(batch), count);
    }
    for (const unit of coldStock) this.standCold(unit.pool.size, unit.isMother, 0, this.coldEnd(unit), 1);
  }

  private start(global: number, count: number): void {
    const start = this.model.starts[global]!;
    const { perCycle } = this.model.situation.sizes[start.size]!;
    const slot = start.slot.index;
    this.take(start.column, count);
    this.sum += count * this.cost[start.column]!;
    this.load.bench[slot]! += count;
    if (perCycle !== Number.POSITIVE_INFINITY) this.load.cycles[slot]! += count / perCycle;
    addSpan(
      this.load.warmPlaces,
      this.handlingAt,
      start.slot.day,
      start.ripeDay,
      count * this.shelfPlaces[start.size]!,
    );
    const counted = this.countedPlace[start.size]!;
    if (counted >= 0) this.load.clean[counted]![slot]! += count;
  }

  private takeInoculum(counts: ArrayLike<number>): number[] | null {
    const { inoculations } = this.view;
    const { mothers } = this.order;
    for (let place = 0; place < inoculations.length; place += 1) {
      const inoculation = inoculations[place]!;
      let wanted = gramsWanted(inoculation.starts, counts);
      if (wanted <= LITTLE_GRAMS) continue;
      wanted = this.pourOpenMothers(inoculation.pours, wanted);
      while (wanted > LITTLE_GRAMS) {
        const mother = this.bestMother(mothers[place]!, wanted);
        if (mother === null) return inoculation.starts.map(({ start }) => start);
        this.open(mother);
        wanted = this.pour(mother.bucket, wanted);
      }
    }
    return null;
  }

  private pourOpenMothers(pours: readonly PourView[], grams: number): number {
    let wanted = grams;
    for (const { bucket } of pours) {
      if (wanted <= LITTLE_GRAMS) break;
      if (this.bucketGrams[bucket]! > LITTLE_GRAMS) wanted = this.pour(bucket, wanted);
    }
    return wanted;
  }

  /** Set-aside mothers first; then by the style. */
  private bestMother({ items, source, grams }: CandidateList, wanted: number): Candidate | null {
    let best: Candidate | null = null;
    let bestSurplus = Number.POSITIVE_INFINITY;
    for (let place = 0; place < source.length; place += 1) {
      if (this.left[source[place]!] === 0) continue;
      if (!this.style.smallestMother) return items[place]!;
      if (best?.motherOnly && !items[place]!.motherOnly) break;
      const surplus = grams[place]! >= wanted ? grams[place]! - wanted : 1e6 - grams[place]!;
      if (surplus >= bestSurplus - LITTLE_GRAMS) continue;
      best = items[place]!;
      bestSurplus = surplus;
    }
    return best;
  }

  private takeCultures(counts: ArrayLike<number>): number[] | null {
    const { onHand, orders, demands } = this.view.culture;
    const sources = onHand.map((culture) => ({ from: culture.from, until: culture.until, grams: culture.grams }));
    const life = this.view.strain.cultureLifeDays;
    let available = this.view.strain.culture?.unitsAvailable ?? Number.POSITIVE_INFINITY;
    for (const demand of demands) {
      const wanted = drawFrom(sources, demand.day, gramsWanted(demand.starts, counts));
      if (wanted <= LITTLE_GRAMS) continue;
      const order = orders.find((each) => each.day === demand.day);
      const units = order ? Math.ceil(wanted / order.gramsPerUnit - 1e-9) : Number.POSITIVE_INFINITY;
      if (!order || units > available) return demand.starts.map(({ start }) => start);
      available -= units;
      this.take(order.column, units);
      this.sum += units * this.cost[order.column]!;
      sources.push({ from: demand.day, until: demand.day + life, grams: units * order.gramsPerUnit - wanted });
    }
    return null;
  }

  private feedRuns(chosen: ArrayLike<number>): void {
    for (const wish of this.order.wishes) if (chosen[wish.run] === wish.choice) this.feedRun(wish);
    for (const { run, choice } of this.view.runs) if (chosen[run] === choice) this.chargeShortage(run);
  }

  private feedRun(wish: RunWish): void {
    let wanted = wish.upTo - this.covered[wish.run]!;
    if (wanted <= LITTLE_GRAMS) return;
    for (const { bucket } of wish.pours) {
      if (this.bucketGrams[bucket]! > LITTLE_GRAMS) wanted = this.pourToRun(wish, bucket, wanted);
    }
    const { items, source, grams } = wish.candidates;
    for (let place = 0; place < source.length && wanted > LITTLE_GRAMS; place += 1) {
      while (this.left[source[place]!]! > 0 && wanted >= grams[place]!) {
        this.open(items[place]!);
        wanted = this.pourToRun(wish, items[place]!.bucket, wanted);
      }
    }
    while (wanted > LITTLE_GRAMS && wanted * wish.costPerGramMissing >= this.unitWorth) {
      const last = this.smallestFor(wish.candidates);
      if (last === null) break;
      this.open(last);
      wanted = this.pourToRun(wish, last.bucket, wanted);
    }
    this.covered[wish.run] = wish.upTo - Math.max(0, wanted);
  }

  /** For the last grams of a wish, less than any container holds. */
  private smallestFor({ items, source, grams }: CandidateList): Candidate | null {
    let best = NONE;
    for (let place = 0; place < source.length; place += 1) {
      if (this.left[source[place]!]! > 0 && (best === NONE || grams[place]! < grams[best]!)) best = place;
    }
    return best === NONE ? null : items[best]!;
  }

  private pourToRun(wish: RunWish, bucket: number, wanted: number): number {
    const left = this.pour(bucket, wanted);
    this.sum += (wanted - left) * wish.pourCost[bucket]!;
    return left;
  }

  private chargeShortage(place: number): void {
    const { perGramShort, perGramBelowTarget } = this.model.situation.costs;
    const { run } = this.model.runs[place]!;
    const covered = this.covered[place]!;
    const short = Math.max(0, run.minGrams - covered);
    const below = Math.max(0, run.targetGrams - Math.max(run.minGrams, covered));
    this.sum += run.weight * (short * perGramShort + below * perGramBelowTarget);
  }

  private open({ bucket, column, gramsEach, batch, chilling, coldStock, cost, day }: Candidate): void {
    this.take(column, 1);
    this.sum += cost;
    this.bucketGrams[bucket]! += gramsEach;
    if (batch === NONE) {
      const unit = this.view.coldStock[coldStock]!;
      this.left[this.view.batches.length + coldStock] = 0;
      this.standCold(unit.pool.size, unit.isMother, day, this.coldEnd(unit), -1);
      this.giveBack(unit.pool.size, this.view.buckets[bucket]!.until, 1);
      return;
    }
    const view = this.view.batches[batch]!;
    this.left[batch]! -= 1;
    this.giveBack(view.pool.size, this.view.buckets[bucket]!.until, 1);
    if (chilling === null) this.standWarm(view, day, this.warmEnd(view), -1);
    else this.chill(view, chilling, day);
  }

  private chill(batch: BatchView, chilling: ChillingView, leaves: number): void {
    this.take(chilling.column, 1);
    this.standWarm(batch, chilling.day, this.warmEnd(batch), -1);
    this.standCold(batch.pool.size, batch.isMother, chilling.day, leaves, 1);
  }

  private pour(bucket: number, wanted: number): number {
    const part = Math.min(this.bucketGrams[bucket]!, wanted);
    this.bucketGrams[bucket]! -= part;
    return wanted - part;
  }

  private take(column: number, by: number): void {
    this.recorded?.set(column, (this.recorded.get(column) ?? 0) + by);
  }

  private keepMothers(): void {
    const { perMotherMissingDay } = this.model.situation.costs;
    const { reserves } = this.view;
    for (let place = 0; place < reserves.length; place += 1) {
      const { day, required } = reserves[place]!;
      while (this.reserve[place]! < required && this.chillMotherFor(day));
      const missing = required - this.reserve[place]!;
      const until = reserves[place + 1]?.day ?? day + 1;
      if (missing > 0) this.sum += missing * perMotherMissingDay * (until - day);
    }
  }

  /** Chills a mother nobody has a use for, so that it is there on the day. */
  private chillMotherFor(day: number): boolean {
    for (const place of this.chillableMothers) {
      const batch = this.view.batches[place]!;
      if (this.left[place] === 0 || batch.discardDay! > day) continue;
      const chilling = batch.chillings.find((each) => each.day <= day && day <= each.until);
      if (!chilling) continue;
      this.left[place]! -= 1;
      const end = this.coldEnd({ pool: batch.pool, until: chilling.until });
      this.sum += this.cost[chilling.column]!;
      this.chill(batch, chilling, end);
      this.chargeColdRest(batch.pool, chilling.event, end);
      return true;
    }
    return false;
  }

  private outlive(): void {
    const { batches, coldStock } = this.view;
    for (let place = 0; place < batches.length; place += 1) {
      const left = this.left[place]!;
      if (left === 0) continue;
      const { outlive, discardDay, pool } = batches[place]!;
      this.sum += left * this.cost[outlive]!;
      if (discardDay !== null) this.giveBack(pool.size, discardDay, left);
    }
    for (let place = 0; place < coldStock.length; place += 1) {
      const unit = coldStock[place]!;
      if (this.left[this.view.batches.length + place] === 1)
        this.chargeColdRest(unit.pool, unit.event, this.coldEnd(unit));
    }
  }

  private chargeColdRest(pool: BatchView['pool'], event: number, end: number): void {
    const { horizon, costs } = this.model.situation;
    this.sum += costs.perGramDayOld * pool.gramsEach * Math.max(0, Math.min(end, horizon) - event);
    if (end > horizon) return;
    this.sum += costs.perGramAgedOut * pool.gramsEach;
    this.giveBack(pool.size, end, 1);
  }

  private throwAwayRests(): void {
    let grams = 0;
    for (let place = 0; place < this.bucketGrams.length; place += 1) grams += this.bucketGrams[place]!;
    this.sum += grams * this.model.situation.costs.perGramAgedOut;
  }

  private warmEnd({ discardDay }: BatchView): number {
    return discardDay ?? this.model.situation.horizon + 1;
  }

  /** The first day of the cold queue on which it is too old; after the horizon when there is none. */
  private coldEnd({ pool, until }: Pick<ColdStockView, 'pool' | 'until'>): number {
    return pool.coldDays.find((each) => each.day > until)?.day ?? this.model.situation.horizon + 1;
  }

  private standWarm(batch: BatchView, from: number, to: number, count: number): void {
    addSpan(this.load.warmPlaces, this.handlingAt, from, to, count * this.shelfPlaces[batch.pool.size]!);
    if (batch.isMother) addSpan(this.reserve, this.reserveAt, from, to, count);
  }

  private standCold(size: number, isMother: boolean, from: number, to: number, count: number): void {
    addSpan(this.load.coldPlaces, this.handlingAt, from, to, count * this.shelfPlaces[size]!);
    if (isMother) addSpan(this.reserve, this.reserveAt, from, to, count);
  }

  private giveBack(size: number, emptyDay: number, count: number): void {
    const counted = this.countedPlace[size]!;
    if (counted < 0) return;
    const cleanOn = emptyDay + this.model.situation.rhythm.washingDays;
    const slot = this.shared.preparationDays.findIndex((day) => day >= cleanOn);
    if (slot >= 0) this.load.clean[counted]![slot]! -= count;
  }

  private addLimitCosts(): void {
    const { shared, load } = this;
    let broken = 0;
    for (let slot = 0; slot < shared.slotCount; slot += 1) {
      broken += over(shared.total.bench[slot]! + load.bench[slot]!, shared.benchCapacity[slot]!);
      const before = Math.ceil(shared.total.cycles[slot]! - 1e-9);
      const after = Math.ceil(shared.total.cycles[slot]! + load.cycles[slot]! - 1e-9);
      this.sum += (after - before) * shared.cycleCost[slot]!;
      broken += over(after, shared.cyclesPerDay);
    }
    for (let place = 0; place < shared.handlingDays.length; place += 1) {
      broken += over(shared.total.warmPlaces[place]! + load.warmPlaces[place]!, shared.warmCapacity[place]!);
      broken += over(shared.total.coldPlaces[place]! + load.coldPlaces[place]!, shared.coldCapacity[place]!);
    }
    for (let size = 0; size < load.clean.length; size += 1) {
      let taken = 0;
      for (let slot = 0; slot < shared.slotCount; slot += 1) {
        taken += load.clean[size]![slot]! + shared.total.clean[size]![slot]!;
        broken += over(taken, shared.cleanOnHand[size]!);
      }
    }
    this.broken = broken;
    this.sum += broken * this.limitPrice;
  }
}

function gramsWanted(starts: InoculationView['starts'], counts: ArrayLike<number>): number {
  let grams = 0;
  for (const { start, gramsEach } of starts) grams += counts[start]! * gramsEach;
  return grams;
}

/** Takes grams from cultures that can be used on the day, the first to expire first; tells what is still wanted. */
function drawFrom(
  sources: { readonly from: number; readonly until: number; grams: number }[],
  day: number,
  grams: number,
): number {
  let wanted = grams;
  if (wanted <= LITTLE_GRAMS) return 0;
  sources.sort((one, other) => one.until - other.until);
  for (const source of sources) {
    if (source.from > day || source.until < day) continue;
    const part = Math.min(source.grams, wanted);
    source.grams -= part;
    wanted -= part;
  }
  return wanted;
}

function cheapestUnit({ situation }: SpawnModel): number {
  const { costs } = situation;
  const perUnit = situation.sizes
    .filter((size) => size.perCycle >= 1)
    .map((size) => costs.perContainerStarted + (Number.isFinite(size.perCycle) ? costs.perCycle / size.perCycle : 0));
  return perUnit.length === 0 ? 0 : Math.min(...perUnit);
}

function clearLoad(load: StrainLoad): void {
  load.bench.fill(0);
  load.cycles.fill(0);
  load.warmPlaces.fill(0);
  load.coldPlaces.fill(0);
  for (const changes of load.clean) changes.fill(0);
}

function firstPlaces(days: readonly number[], length: number): Int32Array {
  const places = new Int32Array(length);
  let place = 0;
  for (let day = 0; day < length; day += 1) {
    while (place < days.length && days[place]! < day) place += 1;
    places[day] = place;
  }
  return places;
}

/** Adds to all counted days from a day until before another. */
function addSpan(sum: Float64Array, firstPlace: Int32Array, from: number, to: number, count: number): void {
  const last = firstPlace[Math.min(Math.max(to, 0), firstPlace.length - 1)]!;
  for (let place = firstPlace[Math.max(from, 0)]!; place < last; place += 1) sum[place]! += count;
}

function over(value: number, capacity: number): number {
  return value > capacity + 1e-9 ? value - capacity : 0;
}
