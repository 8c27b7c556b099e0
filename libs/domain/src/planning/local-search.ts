import { Allocator } from './allocation.js';
import { HABITS, type HandlingStyle, PLAIN_STYLE } from './handling-style.js';
import { RandomMoves } from './random-moves.js';
import type { RandomSource } from './random-source.js';
import type { SharedLoad, StrainLoad } from './shared-load.js';
import type { SpawnModel } from './spawn-model.js';
import { StartNeighbourhood } from './start-moves.js';
import type { StrainView } from './strain-view.js';

const BETTER_BY = 1e-6;
/** Share of draws that try another habit. */
const HABIT_CHANGES = 0.01;

/** One strain under search: its starts, what they cost, what they take of the shared limits. */
export class StrainSearch {
  readonly view: StrainView;
  readonly counts: Int32Array;
  private readonly allocator: Allocator;
  private readonly shared: SharedLoad;
  private readonly chosen: Int32Array;
  private readonly moves: StartNeighbourhood;
  private readonly random: RandomMoves;
  private readonly habits: readonly (keyof HandlingStyle)[];
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
    this.random = new RandomMoves(model, view, this.moves);
    // Where no clean containers are counted, keeping one open costs nothing and is no habit to try.
    this.habits = HABITS.filter((habit) => habit !== 'keepsOpen' || shared.countedSizes.length > 0);
    this.repair();
    this.load = this.settle();
  }

  /** Evaluations made so far. */
  get evaluations(): number {
    return this.spent;
  }

  /**
   * What a container, place or cycle beyond a shared limit costs from now on, and which share of what the limits are
   * worth in the relaxed plan is paid for what is taken within them. Strains that pay leave scarce places and cycles to
   * those that gain most from them; a high price for going beyond takes away whatever comes first.
   */
  setLimitPrice(price: number, paidShare: number): void {
    this.allocator.setLimitPrice(price, paidShare);
  }

  /**
   * Draws moves at random and keeps those that lower the cost, and now and then, the warmer the more, one that raises it.
   * @param temperature in money: a move that costs so much more is kept about once in three times.
   */
  anneal(draws: number, temperature: number, random: RandomSource): void {
    this.shared.add(this.load, -1);
    let current = this.evaluate();
    for (let draw = 0; draw < draws; draw += 1) {
      if (random() < HABIT_CHANGES) {
        current = this.annealHabit(current, temperature, random);
        continue;
      }
      const move = this.random.draw(this.counts, random);
      if (move === null || !this.moves.apply(this.counts, move)) continue;
      const cost = this.evaluate();
      if (cost < current + temperature * -Math.log(1 - random())) current = cost;
      else this.moves.undo(this.counts, move);
    }
    this.load = this.settle();
  }

  private annealHabit(current: number, temperature: number, random: RandomSource): number {
    const habit = this.habits[Math.floor(random() * this.habits.length)]!;
    const before = this.style;
    this.style = { ...before, [habit]: !before[habit] };
    this.allocator.setStyle(this.style);
    const cost = this.evaluate();
    if (cost < current + temperature * -Math.log(1 - random())) return cost;
    this.style = before;
    this.allocator.setStyle(before);
    return current;
  }

  /** Tries every move once and keeps each that lowers the cost; tells whether any did. Stops at the evaluation limit. */
  sweep(evaluationLimit: number): boolean {
    this.shared.add(this.load, -1);
    let best = this.evaluate();
    let improved = false;
    for (const habit of this.habits) {
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
