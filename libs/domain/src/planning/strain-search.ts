import type { SeededRandom } from '../statistics/seeded-random.js';
import { HandOut } from './hand-out.js';
import { copyHandling, type Handling, setHandling } from './handling.js';
import { BETTER_BY, HandlingMoves } from './handling-moves.js';
import { CHILLED_NEVER } from './opening-paths.js';
import { RandomMoves, type SearchHints } from './random-moves.js';
import type { ReserveDay } from './reserve-days.js';
import type { SharedLimits, StrainLoad } from './shared-limits.js';
import { type StartMove, StartNeighbourhood } from './start-moves.js';
import type { StrainField } from './strain-field.js';

/** Share of draws that change how containers are handed out, not how many are started. */
const HANDLING_CHANGES = 0.16;

/** One strain's decisions: how many are started when, and how they are handed out. */
export interface StrainDecisions {
  readonly counts: Int32Array;
  readonly handling: Handling;
}

/** One strain under search: its decisions, what they cost, what they take of the shared limits. */
export class StrainSearch {
  readonly field: StrainField;
  readonly counts: Int32Array;
  readonly handOut: HandOut;
  private readonly shared: SharedLimits;
  private readonly chosen: Int32Array;
  private readonly moves: StartNeighbourhood;
  private readonly random: RandomMoves;
  private readonly handling: HandlingMoves;
  private load: StrainLoad;
  /** Where grams lack and containers are left in the last hand-out that was kept. */
  private readonly hints: SearchHints;
  private spent = 0;
  /** Whether any number of starts is open. */
  private readonly isOpen: boolean;

  constructor(field: StrainField, shared: SharedLimits, reserves: readonly ReserveDay[], chosen: Int32Array) {
    this.field = field;
    this.shared = shared;
    this.chosen = chosen;
    this.counts = Int32Array.from(field.options, (option) => option.fewest);
    this.handOut = new HandOut(field, shared, reserves);
    this.moves = new StartNeighbourhood(field);
    this.random = new RandomMoves(field, this.moves, shared);
    const evaluate = (limit?: number) => this.evaluate(limit);
    this.handling = new HandlingMoves(field, this.handOut.handling, this.counts, this.random, evaluate);
    this.isOpen = field.options.some((option) => option.most > option.fewest);
    this.hints = { covered: new Float64Array(field.ways.length), left: new Int32Array(field.lots.length) };
    this.repair();
    this.load = shared.emptyLoad();
    this.settle();
  }

  /** Evaluations made so far. */
  get evaluations(): number {
    return this.spent;
  }

  /** What a container, place or cycle beyond a shared limit costs from now on. */
  setLimitPrice(price: number): void {
    this.handOut.setLimitPrice(price);
  }

  /** What share of whole cycles and units of culture is charged by the part used from now on. */
  setSmoothing(share: number): void {
    this.handOut.setSmoothing(share);
  }

  /** Whether a start more or fewer than accepted costs something. */
  countChanges(counts: boolean): void {
    this.lift();
    this.handOut.countChanges(counts);
    this.settle();
  }

  /** Begins from other numbers of starts; those that cannot be inoculated are taken out. */
  begin(counts: Int32Array): void {
    this.lift();
    this.counts.set(counts);
    this.repair();
    this.handling.anywhere();
    this.settle();
  }

  decisions(): StrainDecisions {
    return { counts: this.counts.slice(), handling: copyHandling(this.handOut.handling) };
  }

  /** Takes over decisions; starts that cannot be inoculated are taken out. */
  decide({ counts, handling }: StrainDecisions): void {
    this.lift();
    this.counts.set(counts);
    setHandling(this.handOut.handling, handling);
    this.repair();
    this.settle();
  }

  /** Takes the strain's load out of the shared; until {@link settle} its evaluations count. */
  lift(): void {
    this.shared.add(this.load, -1);
  }

  /** Puts the strain's load back among the shared, as it stands now. */
  settle(): void {
    this.evaluate();
    this.remember();
    this.load = this.handOut.takings.exchangeLoad(this.load);
    this.shared.add(this.load, 1);
  }

  private remember(): void {
    this.hints.covered.set(this.handOut.covered);
    this.hints.left.set(this.handOut.left);
  }

  /** What the strain costs as it stands; only while it is lifted. */
  evaluate(limit = Number.POSITIVE_INFINITY): number {
    this.spent += 1;
    return this.handOut.evaluate(this.counts, this.chosen, limit);
  }

  /**
   * Draws moves at random and keeps those that lower the cost, and now and then, the warmer the more, one that raises it.
   * @param temperature in money: a move that costs so much more is kept about once in three times.
   */
  anneal(draws: number, temperature: number, random: SeededRandom): void {
    this.lift();
    let current = this.evaluate();
    for (let draw = 0; draw < draws; draw += 1) {
      const kind = random.uniform();
      const limit = current - temperature * Math.log(1 - random.uniform());
      const handles = this.isOpen ? HANDLING_CHANGES : 1;
      if (kind < handles) current = this.handling.anneal(kind / handles, current, limit, random);
      else current = this.annealStarts(current, limit, random);
    }
    this.settle();
  }

  private annealStarts(current: number, limit: number, random: SeededRandom): number {
    const move = this.random.draw(this.counts, this.hints, random);
    if (move === null || !this.moves.apply(this.counts, move)) return current;
    const cost = this.evaluate(limit);
    if (cost < limit) {
      this.remember();
      return cost;
    }
    const mother = this.handOut.lacksMother ? this.missingMother(random) : null;
    if (mother !== null && this.moves.apply(this.counts, mother)) {
      const mothered = this.evaluate(limit);
      if (mothered < limit) {
        this.remember();
        return mothered;
      }
      this.moves.undo(this.counts, mother);
    }
    this.moves.undo(this.counts, move);
    return current;
  }

  /** A mother for what the last hand-out could not inoculate, from one of the last bench days that reach it. */
  private missingMother(random: SeededRandom): StartMove | null {
    const { lackingGeneration, lackingSlot } = this.handOut.inoculum;
    const size = random.whole(this.field.situation.sizes.length);
    const start = this.moves.motherOn(lackingSlot, lackingGeneration, size, random.whole(3));
    return start === undefined ? null : { changes: [{ start, by: 1 }] };
  }

  /** Tries every move once and keeps each that lowers the cost; tells whether any did. Stops at the evaluation limit. */
  sweep(evaluationLimit: number): boolean {
    this.lift();
    const before = this.evaluate();
    // First, because it is short: what is left of the budget goes to the starts.
    let best = this.handling.sweep(before);
    let improved = best < before;
    for (const move of this.moves.from(this.counts)) {
      if (this.spent >= evaluationLimit) break;
      if (!this.moves.apply(this.counts, move)) continue;
      const cost = this.evaluate(best - BETTER_BY);
      if (cost < best - BETTER_BY) [best, improved] = [cost, true];
      else this.moves.undo(this.counts, move);
    }
    this.settle();
    return improved;
  }

  /** Starts that could give a run on a day so many grams more, with a mother of their own or without. */
  towards(day: number, grams: number): readonly StartMove[] {
    return this.moves.towards(day, grams);
  }

  /** What the strain would cost with a move, its limits and grams in the hand-out; only while it is lifted. */
  tryOut(move: StartMove): number {
    if (!this.moves.apply(this.counts, move)) return Number.POSITIVE_INFINITY;
    const cost = this.evaluate();
    this.moves.undo(this.counts, move);
    return cost;
  }

  /** Takes containers off, the last started first, where that helps to keep within the shared limits. */
  retreat(): void {
    this.lift();
    this.evaluate();
    for (let start = this.counts.length - 1; start >= 0 && this.handOut.takings.broken > 0; start -= 1)
      this.takeOff(start);
    this.settle();
  }

  /**
   * Gives up everything that is not held, until nothing goes beyond a shared limit: with nothing started and nothing
   * chilled, what is on hand takes no more than the places it has anyway.
   */
  surrender(): void {
    this.lift();
    this.evaluate();
    if (this.handOut.takings.broken > 0) {
      this.handOut.handling.chilling.fill(CHILLED_NEVER);
      this.evaluate();
    }
    for (let start = this.counts.length - 1; start >= 0 && this.handOut.takings.broken > 0; start -= 1) {
      this.counts[start] = Math.min(this.counts[start]!, this.field.options[start]!.fewest);
      this.repair();
      this.evaluate();
    }
    this.settle();
  }

  private takeOff(start: number): void {
    const { fewest } = this.field.options[start]!;
    const before = this.counts.slice();
    const { broken } = this.handOut.takings;
    while (this.counts[start]! > fewest && this.handOut.takings.broken > 0) {
      this.counts[start]! -= 1;
      this.repair();
      this.evaluate();
    }
    if (this.handOut.takings.broken < broken) return;
    this.counts.set(before);
    this.evaluate();
  }

  /** Takes out starts that no mother or culture can inoculate, the last of each group first. */
  private repair(): void {
    const { options } = this.field;
    while (this.evaluate() === Number.POSITIVE_INFINITY) {
      const { lackingGeneration, lackingSlot } = this.handOut.inoculum;
      const last = options.findLastIndex(
        ({ generation, slot }, start) =>
          generation === lackingGeneration && slot.index === lackingSlot && this.counts[start]! > 0,
      );
      this.counts[last]! -= 1;
    }
  }
}
