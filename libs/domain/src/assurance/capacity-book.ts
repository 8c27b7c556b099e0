import { addDays, dayNumber } from '../calendar/calendar-day.js';
import { type AcceptedSituation, containersOn } from '../planning/accepted-situation.js';
import type { LimitKind, SpawnPlan } from '../planning/plan.js';
import { type BenchSlot, benchSlots } from '../planning/timeline.js';

/** Where containers might be started. */
export interface StartPlace {
  readonly slot: BenchSlot;
  readonly size: number;
  readonly ripeDay: number;
}

/** A limit that a change would break, on the day it binds. */
export interface BrokenLimit {
  readonly kind: LimitKind;
  readonly day: number;
  readonly capacity: number;
  readonly subject: string;
}

/** Ripe containers are out of the incubation room within so many days: used, or chilled on the next handling day. */
const DAYS_TO_CLEAR = 3;
const CLOSE = 1e-6;

/**
 * What bench, steriliser, shelves and clean containers have left beside a plan, and what a change of its starts costs
 * there. The planner has the last word on shelves and clean containers when it places what was chosen here.
 */
export class CapacityBook {
  readonly slots: readonly BenchSlot[];
  private readonly situation: AcceptedSituation;
  private readonly bench: Float64Array;
  /** Steriliser loads by slot, in parts of a load. */
  private readonly loads: Float64Array;
  private readonly warm: Float64Array;
  /** Clean containers on hand by size and day, null where they do not limit. */
  private readonly clean: readonly (Float64Array | null)[];

  constructor(situation: AcceptedSituation, plan: SpawnPlan) {
    this.situation = situation;
    this.slots = benchSlots(situation);
    this.bench = new Float64Array(this.slots.length);
    this.loads = new Float64Array(this.slots.length);
    this.warm = warmPlacesTaken(situation, plan);
    this.clean = situation.sizes.map((size) =>
      size.cleanEmpty === null ? null : cleanOnHand(situation, plan, size.index, size.cleanEmpty),
    );
    for (const start of plan.starts) {
      const slot = this.slotOn(start.benchDay);
      if (slot === null) continue;
      const size = situation.sizes.findIndex((each) => each.id === start.sizeId);
      this.bench[slot.index]! += start.containers;
      this.loads[slot.index]! += start.containers / this.perCycle(size);
    }
  }

  get asOf(): SpawnPlan['asOf'] {
    return this.situation.asOf;
  }

  slotOn(day: SpawnPlan['asOf']): BenchSlot | null {
    const at = dayNumber(day) - dayNumber(this.situation.asOf);
    return this.slots.find((slot) => slot.day === at) ?? null;
  }

  /** The first limit that so many containers more would break, or null. Fewer never break one. */
  brokenBy({ slot, size, ripeDay }: StartPlace, more: number): BrokenLimit | null {
    if (more <= 0) return null;
    const { rhythm, sizes } = this.situation;
    const broken = (kind: LimitKind, day: number, capacity: number, subject = '') => ({ kind, day, capacity, subject });
    if (this.bench[slot.index]! + more > containersOn(rhythm, slot.day) + CLOSE)
      return broken('bench', slot.day, containersOn(rhythm, slot.day));
    if (cyclesFor(this.loads[slot.index]! + more / this.perCycle(size)) > rhythm.cyclesPerPreparationDay)
      return broken('steriliser', slot.preparationDay, rhythm.cyclesPerPreparationDay);
    const clean = this.clean[size];
    if (clean && leastFrom(clean, slot.preparationDay) < more)
      return broken('clean-containers', slot.preparationDay, 0, sizes[size]!.id);
    const places = more * sizes[size]!.shelfPlaces;
    for (let day = slot.day; day <= Math.min(ripeDay + DAYS_TO_CLEAR, this.situation.horizon); day += 1) {
      if (this.warm[day]! + places > this.situation.incubationPlaces + CLOSE)
        return broken('incubation-places', day, this.situation.incubationPlaces);
    }
    return null;
  }

  /** What so many containers more (or fewer) cost to make, whole cycles counted. */
  costOf({ slot, size }: StartPlace, more: number): number {
    const { costs } = this.situation;
    const before = cyclesFor(this.loads[slot.index]!);
    const after = cyclesFor(this.loads[slot.index]! + more / this.perCycle(size));
    const perCycle = costs.cycleCostOnDay.get(slot.preparationDay) ?? costs.perCycle;
    return more * costs.perContainerStarted + (after - before) * perCycle;
  }

  take({ slot, size, ripeDay }: StartPlace, more: number): void {
    this.bench[slot.index]! += more;
    this.loads[slot.index]! += more / this.perCycle(size);
    const clean = this.clean[size];
    if (clean) addFrom(clean, slot.preparationDay, clean.length, -more);
    const last = Math.min(ripeDay + DAYS_TO_CLEAR + 1, this.warm.length);
    addFrom(this.warm, slot.day, last, more * this.situation.sizes[size]!.shelfPlaces);
  }

  /** Containers of a size in one cycle; those that need no vessel take none of it. */
  private perCycle(size: number): number {
    return this.situation.sizes[size]?.perCycle || Number.POSITIVE_INFINITY;
  }
}

function cyclesFor(loads: number): number {
  return Math.ceil(loads - 1e-9);
}

function leastFrom(values: Float64Array, from: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (let day = Math.max(0, from); day < values.length; day += 1) least = Math.min(least, values[day]!);
  return least;
}

function addFrom(values: Float64Array, from: number, to: number, by: number): void {
  for (let day = Math.max(0, from); day < Math.min(to, values.length); day += 1) values[day]! += by;
}

/** Shelf places taken in incubation on every day, as the plan has it. */
function warmPlacesTaken(situation: AcceptedSituation, plan: SpawnPlan): Float64Array {
  const places = new Float64Array(situation.horizon + 1);
  const at = (day: SpawnPlan['asOf']) => dayNumber(day) - dayNumber(situation.asOf);
  const placesOf = new Map<string, number>();
  const stand = (name: string, size: number, from: number, count: number) => {
    const each = situation.sizes[size]!.shelfPlaces;
    placesOf.set(name, each);
    addFrom(places, from, places.length, count * each);
  };
  for (const container of situation.containers)
    if (container.kind === 'warm') stand(container.code, container.size, 0, 1);
  for (const start of plan.starts) {
    const size = situation.sizes.findIndex((each) => each.id === start.sizeId);
    stand(start.id, size, at(start.benchDay), start.containers);
  }
  const leave = (from: string, day: SpawnPlan['asOf'], count: number) =>
    addFrom(places, at(day), places.length, -count * (placesOf.get(from) ?? 0));
  for (const use of plan.uses) if (!use.cold) leave(use.from, use.openedOn, use.opened);
  for (const move of plan.moves) if (move.kind === 'chill') leave(move.from, move.day, move.containers);
  for (const discard of plan.discards) leave(discard.from, discard.day, discard.containers);
  return places;
}

/** Clean empty containers of a size on every day, as the plan has it. */
function cleanOnHand(situation: AcceptedSituation, plan: SpawnPlan, size: number, onHand: number): Float64Array {
  const clean = new Float64Array(situation.horizon + 1).fill(onHand);
  const { id } = situation.sizes[size]!;
  const { rhythm } = situation;
  const at = (day: SpawnPlan['asOf']) => dayNumber(day) - dayNumber(situation.asOf);
  const slots = benchSlots(situation);
  const ofSize = new Set(situation.containers.filter((each) => each.size === size).map(({ code }) => code));
  for (const start of plan.starts) {
    if (start.sizeId !== id) continue;
    ofSize.add(start.id);
    const slot = slots.find((each) => each.day === at(start.benchDay));
    addFrom(clean, slot?.preparationDay ?? at(start.benchDay), clean.length, -start.containers);
  }
  for (const use of plan.uses) {
    if (!ofSize.has(use.from) || use.opened === 0) continue;
    addFrom(clean, at(use.openedOn) + rhythm.openedLifeDays + rhythm.washingDays, clean.length, use.opened);
  }
  return clean;
}

/** In words: the limit, where it binds, and how much more of it would help. */
export function limitSentence(situation: AcceptedSituation, limit: BrokenLimit, more: number): string {
  const date = addDays(situation.asOf, limit.day);
  const help = `${more} more would help`;
  switch (limit.kind) {
    case 'bench':
      return `The bench takes ${limit.capacity} containers on ${date}; ${help}.`;
    case 'steriliser': {
      return `The steriliser runs ${limit.capacity} cycles on ${date}; room for ${help}.`;
    }
    case 'clean-containers':
      return `There are not enough clean ${limit.subject} for ${date}; ${help}.`;
    default:
      return `All ${limit.capacity} incubation places are taken on ${date}; ${help}.`;
  }
}
