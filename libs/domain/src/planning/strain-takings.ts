import type { SharedLimits, StrainLoad } from './shared-limits.js';
import type { StrainField } from './strain-field.js';

/**
 * What one strain takes, while it is handed out, of bench, steriliser, shelves and clean containers, and which mothers
 * stand ready. Stays are noted where they begin and end and added up once, in the end.
 */
export class StrainTakings {
  load: StrainLoad;
  /** Mothers that begin and end to stand ready, by counting day. */
  readonly reserve: Float64Array;
  /** By how much the shared limits are broken. */
  broken = 0;
  /** Share of whole cycles that is charged by the part used. */
  smoothing = 0;
  private readonly shared: SharedLimits;
  private readonly shelfPlaces: Float64Array;
  private readonly cycleShare: Float64Array;
  private readonly countedPlace: Int32Array;

  constructor({ situation }: StrainField, shared: SharedLimits) {
    const { sizes } = situation;
    this.shared = shared;
    this.load = shared.emptyLoad();
    this.reserve = new Float64Array(shared.countingDays.length + 1);
    this.shelfPlaces = Float64Array.from(sizes, (size) => size.shelfPlaces);
    this.cycleShare = Float64Array.from(sizes, (size) => (Number.isFinite(size.perCycle) ? 1 / size.perCycle : 0));
    this.countedPlace = Int32Array.from(sizes, (size) => shared.countedSizes.indexOf(size.index));
  }

  clear(): void {
    const { load } = this;
    load.bench.fill(0);
    load.cycles.fill(0);
    load.warmPlaces.fill(0);
    load.coldPlaces.fill(0);
    for (let size = 0; size < load.clean.length; size += 1) load.clean[size]!.fill(0);
    this.reserve.fill(0);
  }

  /** Hands over the load in exchange for another that is not needed any more. */
  exchangeLoad(other: StrainLoad): StrainLoad {
    const { load } = this;
    this.load = other;
    return load;
  }

  /** Containers started on a slot, of which so many still have to be made. */
  start(slot: number, size: number, count: number, made: number): void {
    this.load.bench[slot]! += count;
    this.load.cycles[slot]! += made * this.cycleShare[size]!;
    const counted = this.countedPlace[size]!;
    if (counted >= 0) this.load.clean[counted]![slot]! += made;
  }

  /** Place of the first counting day on or after a day. */
  placeOf(day: number): number {
    const { countingAt } = this.shared;
    return countingAt[day < countingAt.length ? day : countingAt.length - 1]!;
  }

  /** Containers that stand warm from a counting day, given as a place, until before another. */
  warm(size: number, from: number, to: number, count: number): void {
    const places = count * this.shelfPlaces[size]!;
    const { warmPlaces } = this.load;
    warmPlaces[from]! += places;
    warmPlaces[to]! -= places;
  }

  cold(size: number, from: number, to: number, count: number): void {
    const places = count * this.shelfPlaces[size]!;
    const { coldPlaces } = this.load;
    coldPlaces[from]! += places;
    coldPlaces[to]! -= places;
  }

  mothers(from: number, to: number, count: number): void {
    this.reserve[from]! += count;
    this.reserve[to]! -= count;
  }

  /** Containers that are clean again from a day on. */
  giveBack(size: number, cleanOn: number, count: number): void {
    const counted = this.countedPlace[size]!;
    const { slotPreparedFrom } = this.shared;
    if (counted < 0 || cleanOn >= slotPreparedFrom.length) return;
    this.load.clean[counted]![slotPreparedFrom[cleanOn]!]! -= count;
  }

  /**
   * Cycles as a change to the farm's sum; counts what is beyond bench and steriliser.
   * @param slots ascending, with repetitions, of which the first `count` hold
   */
  cycleCosts(slots: Int32Array, count: number): number {
    const { shared, load } = this;
    const { total } = shared;
    let cost = 0;
    this.broken = 0;
    for (let place = 0; place < count; place += 1) {
      const slot = slots[place]!;
      if (place > 0 && slots[place - 1] === slot) continue;
      this.broken += over(total.bench[slot]! + load.bench[slot]!, shared.benchCapacity[slot]!);
      const before = Math.ceil(total.cycles[slot]! - 1e-9);
      const after = Math.ceil(total.cycles[slot]! + load.cycles[slot]! - 1e-9);
      const cycles = (after - before) * (1 - this.smoothing) + load.cycles[slot]! * this.smoothing;
      cost += cycles * shared.cycleCost[slot]!;
      this.broken += over(after + this.cyclesBeside(slot), shared.cyclesPerDay);
    }
    return cost;
  }

  /** Cycles of other slots that are prepared on the same day. */
  private cyclesBeside(slot: number): number {
    const { shared, load } = this;
    let cycles = 0;
    for (const other of shared.preparedWith[slot]!)
      cycles += Math.ceil(shared.total.cycles[other]! + load.cycles[other]! - 1e-9);
    return cycles;
  }

  /** Adds up shelves and clean containers; tells by how much they are beyond what there is. */
  addUp(): number {
    const before = this.broken;
    const { shared, load } = this;
    const { total } = shared;
    let warm = 0;
    let cold = 0;
    for (let place = 0; place < shared.countingDays.length; place += 1) {
      warm += load.warmPlaces[place]!;
      cold += load.coldPlaces[place]!;
      load.warmPlaces[place] = warm;
      load.coldPlaces[place] = cold;
      this.broken += over(total.warmPlaces[place]! + warm, shared.warmCapacity[place]!);
      this.broken += over(total.coldPlaces[place]! + cold, shared.coldCapacity[place]!);
    }
    for (let size = 0; size < load.clean.length; size += 1) this.addUpClean(size);
    return this.broken - before;
  }

  private addUpClean(size: number): void {
    const { shared } = this;
    const clean = this.load.clean[size]!;
    let taken = 0;
    for (let slot = 0; slot < shared.slots.length; slot += 1) {
      taken += clean[slot]!;
      clean[slot] = taken;
      this.broken += over(taken + shared.total.clean[size]![slot]!, shared.cleanCapacity[size]![slot]!);
    }
  }
}

function over(value: number, capacity: number): number {
  return value > capacity + 1e-9 ? value - capacity : 0;
}
