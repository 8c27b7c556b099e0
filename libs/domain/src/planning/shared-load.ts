import type { LinearProgramme } from './linear-programme.js';
import type { LimitRow, SpawnModel } from './spawn-model.js';

/** What one strain takes of what all strains share. All arrays run over bench slots or handling days. */
export interface StrainLoad {
  readonly bench: Float64Array;
  /** Share of cycles, by slot. */
  readonly cycles: Float64Array;
  readonly warmPlaces: Float64Array;
  readonly coldPlaces: Float64Array;
  /** Clean containers taken and not yet back, by counted size and slot: net change. */
  readonly clean: readonly Float64Array[];
}

/** The farm's shared limits, and the sum of what the strains take. */
export class SharedLoad {
  readonly slotCount: number;
  readonly handlingDays: readonly number[];
  readonly benchCapacity: Float64Array;
  readonly warmCapacity: Float64Array;
  readonly coldCapacity: Float64Array;
  readonly cleanOnHand: Float64Array;
  /** Sizes whose clean containers are counted, by size. */
  readonly countedSizes: readonly number[];
  readonly total: StrainLoad;
  /** What a unit of each limit is worth in the relaxed plan. */
  readonly worth: Omit<StrainLoad, 'clean'>;
  readonly cycleCost: Float64Array;
  readonly preparationDays: readonly number[];
  readonly slotDays: readonly number[];
  readonly cyclesPerDay: number;

  /** @param rowPrices what one more unit on the right side of each row changes the relaxed cost by */
  constructor(model: SpawnModel, handlingDays: readonly number[], rowPrices: Float64Array) {
    const { situation, slots, limits, programme } = model;
    this.slotCount = slots.length;
    this.handlingDays = handlingDays;
    this.cyclesPerDay = situation.rhythm.cyclesPerPreparationDay;
    this.countedSizes = situation.sizes.filter((size) => size.cleanEmpty !== null).map((size) => size.index);
    this.cleanOnHand = Float64Array.from(this.countedSizes.map((size) => situation.sizes[size]!.cleanEmpty!));
    this.cycleCost = Float64Array.from(model.cycles.map((cycle) => cycle.cost));
    this.slotDays = slots.map((slot) => slot.day);
    this.preparationDays = slots.map((slot) => slot.preparationDay);
    this.benchCapacity = new Float64Array(slots.length).fill(situation.rhythm.containersPerBenchDay);
    this.warmCapacity = rightSides(programme, limits, 'incubation-places', handlingDays);
    this.coldCapacity = rightSides(programme, limits, 'cold-places', handlingDays);
    this.total = this.emptyLoad();
    this.worth = this.emptyLoad();
    this.setWorth(limits, rowPrices);
  }

  private setWorth(limits: readonly LimitRow[], rowPrices: Float64Array): void {
    for (const { kind, row, day } of limits) {
      const worth = Math.max(0, -rowPrices[row]!);
      const handling = this.handlingDays.indexOf(day);
      if (kind === 'incubation-places') this.worth.warmPlaces[handling] = worth;
      if (kind === 'cold-places') this.worth.coldPlaces[handling] = worth;
      const slot = kind === 'bench' ? this.slotDays.indexOf(day) : -1;
      if (slot >= 0) this.worth.bench[slot] = worth;
      if (kind !== 'steriliser') continue;
      this.preparationDays.forEach((preparationDay, at) => {
        if (preparationDay === day) this.worth.cycles[at] = worth;
      });
    }
  }

  emptyLoad(): StrainLoad {
    return {
      bench: new Float64Array(this.slotCount),
      cycles: new Float64Array(this.slotCount),
      warmPlaces: new Float64Array(this.handlingDays.length),
      coldPlaces: new Float64Array(this.handlingDays.length),
      clean: this.countedSizes.map(() => new Float64Array(this.slotCount)),
    };
  }

  add(load: StrainLoad, sign: 1 | -1): void {
    addTo(this.total.bench, load.bench, sign);
    addTo(this.total.cycles, load.cycles, sign);
    addTo(this.total.warmPlaces, load.warmPlaces, sign);
    addTo(this.total.coldPlaces, load.coldPlaces, sign);
    load.clean.forEach((changes, size) => {
      addTo(this.total.clean[size]!, changes, sign);
    });
  }
}

function addTo(sum: Float64Array, part: Float64Array, sign: 1 | -1): void {
  for (let at = 0; at < sum.length; at += 1) sum[at] = sum[at]! + sign * part[at]!;
}

function rightSides(
  programme: LinearProgramme,
  limits: readonly LimitRow[],
  kind: LimitRow['kind'],
  days: readonly number[],
): Float64Array {
  const capacity = new Float64Array(days.length).fill(Number.POSITIVE_INFINITY);
  for (const limit of limits) {
    if (limit.kind === kind) capacity[days.indexOf(limit.day)] = programme.rowUpper[limit.row]!;
  }
  return capacity;
}
