import type { SeededRandom } from '../statistics/seeded-random.js';
import { type Handling, MOTHER_ORDERS } from './handling.js';
import { CHILLED_SOON, CHILLING_HABITS } from './opening-paths.js';
import type { RandomMoves } from './random-moves.js';
import type { StrainField } from './strain-field.js';

/** A change of a lot's habits that falls below this is one of what it leaves to the reserve. */
const KEPT_BACK_BELOW = 0.94;
/** Share of those that keep something back: what is kept back for nothing stands in the way of later changes. */
const KEEPS_BACK = 0.2;
/** What is tried one by one has to gain more than rounding does. */
export const BETTER_BY = 1e-6;

/** Changes how one strain's containers are handed out, and keeps what the caller's limit allows. */
export class HandlingMoves {
  private readonly field: StrainField;
  private readonly handling: Handling;
  private readonly counts: Int32Array;
  private readonly random: RandomMoves;
  private readonly evaluate: (limit?: number) => number;

  /**
   * @param handling changed in place
   * @param counts containers started, as they stand at any time
   * @param evaluate what the strain costs as it stands
   */
  constructor(
    field: StrainField,
    handling: Handling,
    counts: Int32Array,
    random: RandomMoves,
    evaluate: (limit?: number) => number,
  ) {
    this.field = field;
    this.handling = handling;
    this.counts = counts;
    this.random = random;
    this.evaluate = evaluate;
  }

  /** Tries what all inoculations, or all lots, could have in common. */
  anywhere(): void {
    const { mothers, chilling } = this.handling;
    let best = this.evaluate();
    for (let code = 1; code < MOTHER_ORDERS * 2; code += 1) best = this.annealAll(mothers, code, best, best);
    this.annealAll(chilling, CHILLED_SOON, best, best);
  }

  /**
   * One change drawn at random.
   * @param kind where in 0 to 1 the draw fell that chooses what is changed
   * @param current cost as it stands
   * @param limit a change that costs so much or more is taken back
   * @returns the cost as it stands then
   */
  anneal(kind: number, current: number, limit: number, random: SeededRandom): number {
    const { mothers, freshFirst, chilling, keptBack } = this.handling;
    if (kind < 0.02) return this.annealAll(mothers, random.whole(MOTHER_ORDERS * 2), current, limit);
    if (kind < 0.03) return this.annealAll(chilling, random.whole(CHILLING_HABITS), current, limit);
    if (kind < 0.4) return this.annealServing(current, limit, random);
    if (kind < 0.75) return this.annealMother(mothers, current, limit, random);
    if (kind < 0.88) {
      const way = random.whole(freshFirst.length);
      return this.annealCode(freshFirst, way, 1 - (freshFirst[way] ?? 0), current, limit);
    }
    const lot = this.random.anyLot(this.counts, random);
    if (lot === null) return current;
    const { chillDays, isMother } = this.field.lots[lot]!;
    const { motherReserve } = this.field.strain;
    if (kind < KEPT_BACK_BELOW && motherReserve > 0 && isMother) {
      const kept = random.uniform() < KEEPS_BACK ? 1 + random.whole(motherReserve) : 0;
      return this.annealCode(keptBack, lot, kept, current, limit);
    }
    if (chillDays.length === 0) return current;
    return this.annealCode(chilling, lot, random.whole(CHILLING_HABITS), current, limit);
  }

  /** Tries for every lot there is every number of containers it could leave to the reserve; tells what it costs then. */
  sweep(current: number): number {
    const { keptBack } = this.handling;
    const { lots, stockLots, strain } = this.field;
    let best = current;
    if (strain.motherReserve === 0) return best;
    lots.forEach(({ isMother }, lot) => {
      const isThere = lot < stockLots || this.counts[lot - stockLots]! > 0;
      if (!isMother || !isThere) return;
      for (let kept = 0; kept <= strain.motherReserve; kept += 1)
        best = this.annealCode(keptBack, lot, kept, best, best - BETTER_BY);
    });
    return best;
  }

  /** Serves one wish earlier or later than before. */
  private annealServing(current: number, limit: number, random: SeededRandom): number {
    const { serving } = this.handling;
    if (serving.length < 2) return current;
    const from = random.whole(serving.length);
    const to = this.random.wishNear(serving, from, random);
    moveWithin(serving, from, to);
    const cost = this.evaluate(limit);
    if (cost < limit) return cost;
    moveWithin(serving, to, from);
    return current;
  }

  /** Takes the mother of something that is started in another order. */
  private annealMother(codes: Uint8Array, current: number, limit: number, random: SeededRandom): number {
    const start = this.random.anyPresent(this.counts, random);
    if (start === null) return current;
    const { generation, slot } = this.field.options[start]!;
    const place = slot.index * (this.field.strain.lastGeneration + 1) + generation;
    return this.annealCode(codes, place, random.whole(MOTHER_ORDERS * 2), current, limit);
  }

  private annealCode(codes: Uint8Array, place: number, code: number, current: number, limit: number): number {
    const before = codes[place];
    if (before === undefined || before === code) return current;
    codes[place] = code;
    const cost = this.evaluate(limit);
    if (cost < limit) return cost;
    codes[place] = before;
    return current;
  }

  private annealAll(codes: Uint8Array, code: number, current: number, limit: number): number {
    const before = codes.slice();
    codes.fill(code);
    const cost = this.evaluate(limit);
    if (cost < limit) return cost;
    codes.set(before);
    return current;
  }
}

/** Takes one number out of a list and puts it in elsewhere. */
function moveWithin(list: Int32Array, from: number, to: number): void {
  const moved = list[from]!;
  if (from < to) list.copyWithin(from, from + 1, to + 1);
  else list.copyWithin(to + 1, to, from);
  list[to] = moved;
}
