import { OptionArrays } from './field-arrays.js';
import { HandOutInoculum } from './hand-out-inoculum.js';
import { HandOutLots } from './hand-out-lots.js';
import { HandOutReserve } from './hand-out-reserve.js';
import { HandOutRuns } from './hand-out-runs.js';
import { HandOutTally, type HandOutTrace } from './hand-out-trace.js';
import { type Handling, plainHandling } from './handling.js';
import type { OpenedGroups } from './opened-groups.js';
import type { ReserveDay } from './reserve-days.js';
import type { SharedLimits } from './shared-limits.js';
import type { StrainField } from './strain-field.js';
import { StrainTakings } from './strain-takings.js';

/** So dear that no plan that breaks a shared limit is ever kept. */
export const UNBREAKABLE = 1e5;

/**
 * Hands out whole containers of one strain, given how many are started when: inoculum first, then runs in an order that
 * the search may change, then the mother reserve; what expires first is opened first; warm where the warm life reaches,
 * else from the cold. It is a rule, not an optimum, but it takes microseconds, so that a search can compare thousands of
 * sets of starts. What one call works out stands in the object until the next.
 */
export class HandOut {
  readonly field: StrainField;
  readonly handling: Handling;
  readonly inoculum: HandOutInoculum;
  readonly takings: StrainTakings;
  private readonly options: OptionArrays;
  private readonly tally = new HandOutTally();
  private readonly lots: HandOutLots;
  private readonly runs: HandOutRuns;
  private readonly reserve: HandOutReserve;
  private baseChange = 0;
  private countsChanges = true;
  private readonly perStart: number;
  private readonly present: Int32Array;
  private readonly presentSlot: Int32Array;
  private presents = 0;
  private limitPrice = UNBREAKABLE;

  constructor(field: StrainField, shared: SharedLimits, reserves: readonly ReserveDay[]) {
    const { options, situation } = field;
    const { tally } = this;
    this.field = field;
    this.handling = plainHandling(field);
    this.takings = new StrainTakings(field, shared);
    this.options = new OptionArrays(options, this.takings);
    this.lots = new HandOutLots(field, this.handling, this.takings, tally);
    this.inoculum = new HandOutInoculum(field, this.options, this.lots, this.handling, tally);
    this.runs = new HandOutRuns(field, this.lots, this.handling, tally);
    this.reserve = new HandOutReserve(field, reserves, shared, this.lots, this.handling, this.takings, tally);
    this.countChanges(true);
    this.perStart = situation.costs.perContainerStarted;
    this.present = new Int32Array(options.length);
    this.presentSlot = new Int32Array(options.length);
  }

  /** Containers left unopened, by lot. */
  get left(): Int32Array {
    return this.lots.left;
  }

  get opened(): OpenedGroups {
    return this.lots.opened;
  }

  /** Grams given, by way. */
  get covered(): Float64Array {
    return this.runs.covered;
  }

  /** Whether the last hand-out ended because a start of the second generation or later lacked a mother. */
  get lacksMother(): boolean {
    return this.inoculum.lackingGrams > 0 && this.inoculum.lackingGeneration > 1;
  }

  set trace(trace: HandOutTrace | null) {
    this.tally.trace = trace;
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

  /** What share of whole cycles and units of culture is charged by the part used. */
  setSmoothing(share: number): void {
    this.takings.smoothing = share;
    this.inoculum.smoothing = share;
  }

  /**
   * Hands out, given the containers started (by start option) and the chosen way of each run. The shared load must not
   * hold this strain's own part.
   * @param limit when the cost is sure to reach it the rest is not worked out, and Infinity is told
   * @returns what the strain's part of the plan costs, cycles as a change to the farm's sum; Infinity when some start
   * cannot be inoculated.
   */
  evaluate(counts: Int32Array, chosen: Int32Array, limit = Number.POSITIVE_INFINITY): number {
    const { tally, takings, runs } = this;
    tally.sum = this.baseChange;
    this.inoculum.lackingGrams = 0;
    takings.clear();
    this.lots.reset();
    this.start(counts);
    tally.sum += takings.cycleCosts(this.presentSlot, this.presents);
    tally.sum += takings.broken * this.limitPrice;
    if (tally.sum >= limit || !this.inoculum.inoculate(counts, this.present, this.presents))
      return Number.POSITIVE_INFINITY;
    runs.feed(chosen, limit);
    if (tally.sum >= limit) return Number.POSITIVE_INFINITY;
    runs.pourSurplus(chosen);
    runs.chargeShortages(chosen);
    if (tally.sum >= limit) return Number.POSITIVE_INFINITY;
    this.reserve.keepMothers();
    this.lots.finish();
    tally.sum += takings.addUp() * this.limitPrice;
    return tally.sum;
  }

  private start(counts: Int32Array): void {
    const { options, takings, tally } = this;
    const { stockLots } = this.field;
    this.presents = 0;
    for (let place = 0; place < counts.length; place += 1) {
      const count = counts[place]!;
      if (count === 0) continue;
      const slot = options.slot[place]!;
      const size = options.size[place]!;
      this.present[this.presents] = place;
      this.presentSlot[this.presents] = slot;
      this.presents += 1;
      tally.sum += count * this.perStart;
      if (this.countsChanges && options.changeCost[place]! > 0) {
        const accepted = options.accepted[place]!;
        tally.sum += options.changeCost[place]! * (Math.abs(count - accepted) - accepted);
      }
      takings.start(slot, size, count, Math.max(0, count - options.prepared[place]!));
      takings.warm(size, options.dayPlace[place]!, options.ripePlace[place]!, count);
      this.lots.enter(stockLots + place, count);
    }
  }
}
