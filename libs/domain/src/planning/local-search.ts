import { Allocator } from './allocation.js';
import { HABITS, type HandlingStyle, PLAIN_STYLE } from './handling-style.js';
import type { SharedLoad, StrainLoad } from './shared-load.js';
import type { SpawnModel } from './spawn-model.js';
import { StartNeighbourhood } from './start-moves.js';
import type { StrainView } from './strain-view.js';

const BETTER_BY = 1e-6;

/** Numbers from 0 to below 1; the caller brings them, seeded. */
export type RandomSource = () => number;

/** One strain under search: its starts, what they cost, what they take of the shared limits. */
export class StrainSearch {
  readonly view: StrainView;
  readonly counts: Int32Array;
  private readonly allocator: Allocator;
  private readonly shared: SharedLoad;
  private readonly chosen: Int32Array;
  private readonly moves: StartNeighbourhood;
  private load: StrainLoad;
  private style: HandlingStyle = PLAIN_STYLE;
  private spent = 0;

  constructor(model: SpawnModel, view: StrainView, shared: SharedLoad, counts: Int32Array, chosen: Int32Array) {
    this.view = view;
    this.counts = counts;
    this.shared = shared;
    this.chosen = chosen;
    this.allocator = new Allocator(model, view, shared);
    this.moves = new StartNeighbourhood(model, view);
    this.repair();
    this.load = this.settle();
  }

  /** Evaluations made so far. */
  get evaluations(): number {
    return this.spent;
  }

  /**
   * What a container, place or cycle beyond a shared limit costs from now on. A search that starts out of bounds does
   * well to pay a little at first: a high price takes away whatever comes first, not what is worth least.
   */
  setLimitPrice(price: number): void {
    this.allocator.setLimitPrice(price);
  }

  /** Tries every move once and keeps each that lowers the cost; tells whether any did. Stops at the evaluation limit. */
  sweep(evaluationLimit: number): boolean {
    this.shared.add(this.load, -1);
    let best = this.evaluate();
    let improved = false;
    for (const habit of HABITS) {
      const cost = this.tryStyle({ ...this.style, [habit]: !this.style[habit] }, best);
      if (cost < best) [best, improved] = [cost, true];
    }
    for (const move of this.moves.from(this.counts)) {
      if (this.spent >= evaluationLimit) break;
      if (!this.moves.apply(this.counts, move)) continue;
      const cost = this.evaluate();
      if (cost < best - BETTER_BY) {
        best = cost;
        improved = true;
      } else this.moves.undo(this.counts, move);
    }
    this.load = this.settle();
    return improved;
  }

  /**
   * Changes a few things at random, improves from there, and keeps the result only when it is better than before.
   * Tells whether it was.
   */
  shake(random: RandomSource, evaluationLimit: number): boolean {
    const before = { counts: Int32Array.from(this.counts), style: this.style, cost: this.cost() };
    this.shared.add(this.load, -1);
    this.disturb(random);
    this.load = this.settle();
    while (this.spent < evaluationLimit && this.sweep(evaluationLimit));
    if (this.cost() < before.cost - BETTER_BY) return true;
    this.shared.add(this.load, -1);
    this.counts.set(before.counts);
    this.style = before.style;
    this.allocator.setStyle(before.style);
    this.load = this.settle();
    return false;
  }

  private disturb(random: RandomSource): void {
    const moves = [...this.moves.from(this.counts)];
    const times = 1 + Math.floor(random() * 3);
    for (let time = 0; time < times && moves.length > 0; time += 1) {
      this.moves.apply(this.counts, moves[Math.floor(random() * moves.length)]!);
    }
    this.repair();
  }

  /** Takes containers off, the last started first, until nothing goes beyond a shared limit or nothing is left. */
  retreat(): void {
    this.shared.add(this.load, -1);
    this.evaluate();
    for (let start = this.counts.length - 1; start >= 0 && this.allocator.beyondLimits > 0; start -= 1) {
      while (this.counts[start]! > 0 && this.allocator.beyondLimits > 0) {
        this.counts[start]! -= 1;
        this.repair();
        this.evaluate();
      }
    }
    this.load = this.settle();
  }

  /** Whole-number columns of the strain as it stands. */
  wholeColumns(): ReadonlyMap<number, number> {
    this.shared.add(this.load, -1);
    const columns = this.allocator.wholeColumns(this.counts, this.chosen);
    this.load = this.settle();
    return columns;
  }

  /** Cost of the strain as it stands, with everything else as it is. */
  cost(): number {
    this.shared.add(this.load, -1);
    const cost = this.evaluate();
    this.load = this.settle();
    return cost;
  }

  private tryStyle(style: HandlingStyle, best: number): number {
    const before = this.style;
    this.allocator.setStyle(style);
    const cost = this.evaluate();
    if (cost < best - BETTER_BY) {
      this.style = style;
      return cost;
    }
    this.allocator.setStyle(before);
    return best;
  }

  private evaluate(): number {
    this.spent += 1;
    return this.allocator.allocate(this.counts, this.chosen).cost;
  }

  /** Puts the strain's load back among the shared. */
  private settle(): StrainLoad {
    this.evaluate();
    const load = this.allocator.takeLoad();
    this.shared.add(load, 1);
    return load;
  }

  /** Takes out starts that no mother or culture can inoculate, the last of each group first. */
  private repair(): void {
    for (;;) {
      const { without } = this.allocator.allocate(this.counts, this.chosen);
      if (without === null) return;
      const last = without.findLast((start) => this.counts[start]! > 0)!;
      this.counts[last]! -= 1;
    }
  }
}
