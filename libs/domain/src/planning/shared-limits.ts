import { type AcceptedSituation, containersOn } from './accepted-situation.js';
import type { StrainField } from './strain-field.js';
import type { BenchSlot } from './timeline.js';

/** What one strain takes of what all strains share. Arrays run over bench slots or counting days. */
export interface StrainLoad {
  readonly bench: Float64Array;
  /** Share of cycles, by slot. */
  readonly cycles: Float64Array;
  readonly warmPlaces: Float64Array;
  readonly coldPlaces: Float64Array;
  /** Clean containers taken and not yet back, by counted size and slot, summed up to the slot. */
  readonly clean: readonly Float64Array[];
}

/** The farm's shared limits, and the sum of what the strains take. */
export class SharedLimits {
  readonly slots: readonly BenchSlot[];
  /** Days on which shelves and mothers are counted: those on which containers are moved, and the last. */
  readonly countingDays: readonly number[];
  readonly benchCapacity: Float64Array;
  readonly warmCapacity: Float64Array;
  readonly coldCapacity: Float64Array;
  /** Sizes whose clean containers are counted. */
  readonly countedSizes: readonly number[];
  /** Clean containers there would be by each slot if nothing was started and nothing opened, by counted size. */
  readonly cleanCapacity: readonly Float64Array[];
  readonly cycleCost: Float64Array;
  /** The other slots that are prepared on the same day as each slot. */
  readonly preparedWith: readonly (readonly number[])[];
  readonly cyclesPerDay: number;
  /** First counting day on or after each day, as a place. */
  readonly countingAt: Int32Array;
  /** First slot whose preparation day is on or after each day. */
  readonly slotPreparedFrom: Int32Array;
  readonly total: StrainLoad;

  constructor(
    situation: AcceptedSituation,
    fields: readonly StrainField[],
    slots: readonly BenchSlot[],
    days: readonly number[],
  ) {
    const { rhythm, costs, sizes, horizon } = situation;
    this.slots = slots;
    this.countingDays = days.includes(horizon) ? days : [...days, horizon];
    this.cyclesPerDay = rhythm.cyclesPerPreparationDay;
    this.countedSizes = sizes.filter((size) => size.cleanEmpty !== null).map((size) => size.index);
    this.cycleCost = Float64Array.from(
      slots,
      ({ preparationDay }) => costs.cycleCostOnDay.get(preparationDay) ?? costs.perCycle,
    );
    this.preparedWith = slots.map((slot) =>
      slots.filter((each) => each !== slot && each.preparationDay === slot.preparationDay).map(({ index }) => index),
    );
    this.countingAt = firstPlaces(this.countingDays, horizon + 3);
    this.slotPreparedFrom = firstPlaces(
      slots.map((slot) => slot.preparationDay),
      horizon + 3,
    );
    this.benchCapacity = benchCapacity(situation, fields, slots);
    // On a last day on which nothing is moved only mothers are counted.
    const held = heldPlaces(situation, fields);
    const capacity = (of: typeof warmCapacity) =>
      Float64Array.from(this.countingDays, (day, place) =>
        place < days.length ? of(situation, held, day) : Number.POSITIVE_INFINITY,
      );
    this.warmCapacity = capacity(warmCapacity);
    this.coldCapacity = capacity(coldCapacity);
    this.cleanCapacity = this.countedSizes.map((size) => cleanCapacity(situation, fields, slots, size));
    this.total = this.emptyLoad();
  }

  emptyLoad(): StrainLoad {
    return {
      bench: new Float64Array(this.slots.length),
      cycles: new Float64Array(this.slots.length),
      warmPlaces: new Float64Array(this.countingDays.length + 1),
      coldPlaces: new Float64Array(this.countingDays.length + 1),
      clean: this.countedSizes.map(() => new Float64Array(this.slots.length + 1)),
    };
  }

  add(load: StrainLoad, sign: 1 | -1): void {
    addTo(this.total.bench, load.bench, sign);
    addTo(this.total.cycles, load.cycles, sign);
    addTo(this.total.warmPlaces, load.warmPlaces, sign);
    addTo(this.total.coldPlaces, load.coldPlaces, sign);
    for (let size = 0; size < load.clean.length; size += 1) addTo(this.total.clean[size]!, load.clean[size]!, sign);
  }
}

function addTo(sum: Float64Array, part: Float64Array, sign: 1 | -1): void {
  for (let at = 0; at < sum.length; at += 1) sum[at] = sum[at]! + sign * part[at]!;
}

/** Place of the first of some ascending days on or after each day. */
export function firstPlaces(days: readonly number[], length: number): Int32Array {
  const places = new Int32Array(length);
  let place = 0;
  for (let day = 0; day < length; day += 1) {
    while (place < days.length && days[place]! < day) place += 1;
    places[day] = place;
  }
  return places;
}

/** What is to be started in any case is not turned away at the bench. */
function benchCapacity(
  { rhythm }: AcceptedSituation,
  fields: readonly StrainField[],
  slots: readonly BenchSlot[],
): Float64Array {
  const held = new Float64Array(slots.length);
  for (const { options } of fields) for (const option of options) held[option.slot.index]! += option.fewest;
  return held.map((fewest, slot) => Math.max(containersOn(rhythm, slots[slot]!.day), fewest));
}

/** Shelf places that starts which are to be made in any case take warm, from a day until another. */
interface HeldPlaces {
  readonly from: number;
  readonly until: number;
  readonly places: number;
}

function heldPlaces({ sizes }: AcceptedSituation, fields: readonly StrainField[]): HeldPlaces[] {
  return fields.flatMap(({ options, strain }) =>
    options
      .filter(({ fewest }) => fewest > 0)
      .map(({ fewest, size, slot, ripeDay }) => ({
        from: slot.day,
        until: ripeDay + strain.warmLifeDays,
        places: fewest * sizes[size]!.shelfPlaces,
      })),
  );
}

/** Incubation places that planned starts and ripe stock may take; more only where what stands there takes more anyway. */
function warmCapacity(
  { containers, sizes, incubationPlaces }: AcceptedSituation,
  held: readonly HeldPlaces[],
  day: number,
): number {
  if (!Number.isFinite(incubationPlaces)) return Number.POSITIVE_INFINITY;
  const places = (size: number) => sizes[size]!.shelfPlaces;
  const incubating = containers
    .filter((each) => each.kind === 'warm' && each.from > day)
    .reduce((sum, each) => sum + places(each.size), 0);
  const stays = containers
    .filter((each) => each.kind === 'warm' && each.from <= day && day <= each.until)
    .reduce((sum, each) => sum + places(each.size), 0);
  const started = held
    .filter(({ from, until }) => from <= day && day <= until)
    .reduce((sum, each) => sum + each.places, 0);
  return Math.max(incubationPlaces, incubating + stays + started) - incubating;
}

function coldCapacity(
  { containers, sizes, coldPlaces }: AcceptedSituation,
  _: readonly HeldPlaces[],
  day: number,
): number {
  const there = containers
    .filter((each) => each.kind === 'cold' && day <= each.until)
    .reduce((sum, each) => sum + sizes[each.size]!.shelfPlaces, 0);
  return Math.max(coldPlaces, there);
}

function cleanCapacity(
  { containers, sizes, rhythm }: AcceptedSituation,
  fields: readonly StrainField[],
  slots: readonly BenchSlot[],
  size: number,
): Float64Array {
  let held = 0;
  let taken = 0;
  const back = containers.filter((each) => each.size === size && each.kind === 'opened');
  return Float64Array.from(slots, (slot) => {
    held += fields
      .flatMap(({ options }) => options.filter((option) => option.slot === slot && option.size === size))
      .reduce((sum, option) => sum + Math.max(0, option.fewest - option.prepared), 0);
    const washed = back.filter((each) => each.until + rhythm.washingDays <= slot.preparationDay).length;
    taken = Math.max(taken, held - sizes[size]!.cleanEmpty! - washed);
    return sizes[size]!.cleanEmpty! + washed + Math.max(0, taken);
  });
}
