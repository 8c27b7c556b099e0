import type { StrainField } from './strain-field.js';

/** Containers taken off some starts and put on others. */
export interface StartMove {
  readonly changes: readonly { readonly start: number; readonly by: number }[];
}

const SLOT_SHIFTS = [-1, 1, -2, 2, -3, 3];
/** Bench slots before a use that are worth trying for a new start. */
const SLOTS_TRIED = 4;
/** Bench slots over which one start is merged into another. */
const FURTHEST_MERGE = 8;

/**
 * Small changes to one strain's starts: one more, one fewer, none; on another bench day; of another generation; in
 * another size. Always in the same order, so that a search gives the same plan every time.
 */
export class StartNeighbourhood {
  private readonly field: StrainField;
  private readonly byKey: Int32Array;
  private readonly generations: number;
  private readonly sizes: number;

  constructor(field: StrainField) {
    this.field = field;
    this.generations = field.strain.lastGeneration + 1;
    this.sizes = field.situation.sizes.length;
    this.byKey = new Int32Array(field.slots.length * this.generations * this.sizes).fill(-1);
    field.options.forEach(({ slot, generation, size }, place) => {
      this.byKey[this.keyOf(slot.index, generation, size)] = place;
    });
  }

  /** The moves from a set of starts: changes to what is there first, then new starts. */
  *from(counts: Int32Array): Generator<StartMove> {
    for (let start = 0; start < counts.length; start += 1) {
      if (counts[start]! > 0) yield* this.changesOf(start, counts);
      if (counts[start]! > 0) yield* this.merges(start, counts);
    }
    yield* this.newStarts(counts);
    yield* this.newMothers(counts);
  }

  /** Applies a move; false, with nothing changed, when a count would fall below 0 or rise above what is possible. */
  apply(counts: Int32Array, move: StartMove): boolean {
    const { options } = this.field;
    for (const { start, by } of move.changes) {
      const count = counts[start]! + by;
      if (count < options[start]!.fewest || count > options[start]!.most) return false;
    }
    for (const { start, by } of move.changes) counts[start]! += by;
    return true;
  }

  undo(counts: Int32Array, move: StartMove): void {
    for (const { start, by } of move.changes) counts[start]! -= by;
  }

  private *changesOf(start: number, counts: Int32Array): Generator<StartMove> {
    const all = () => counts[start]!;
    yield { changes: [{ start, by: -all() }] };
    yield { changes: [{ start, by: -1 }] };
    yield { changes: [{ start, by: 1 }] };
    for (const shift of SLOT_SHIFTS) yield* this.transfers(start, this.neighbour(start, shift, 0, 0), all);
    for (const older of [-1, 1]) yield* this.transfers(start, this.neighbour(start, 0, older, 0), all);
    for (let size = 0; size < this.sizes; size += 1) yield* this.resize(start, size, all);
  }

  private *transfers(start: number, to: number | undefined, all: () => number): Generator<StartMove> {
    if (to === undefined) return;
    yield {
      changes: [
        { start, by: -all() },
        { start: to, by: all() },
      ],
    };
    if (all() > 1)
      yield {
        changes: [
          { start, by: -1 },
          { start: to, by: 1 },
        ],
      };
  }

  private *resize(start: number, size: number, all: () => number): Generator<StartMove> {
    const from = this.startAt(start);
    if (size === from.size) return;
    const to = this.neighbour(start, 0, 0, size - from.size);
    if (to === undefined) return;
    const other = this.startAt(to);
    const ratio = from.gramsEach / other.gramsEach;
    const [fewest, fewestOther] = ratio >= 1 ? [1, Math.round(ratio)] : [Math.round(1 / ratio), 1];
    yield {
      changes: [
        { start, by: -fewest },
        { start: to, by: fewestOther },
      ],
    };
    yield {
      changes: [
        { start, by: -all() },
        { start: to, by: Math.ceil(all() * ratio - 1e-9) },
      ],
    };
  }

  /** Everything of one start given up for more of another that is there. */
  private *merges(start: number, counts: Int32Array): Generator<StartMove> {
    const from = this.startAt(start);
    for (let other = 0; other < counts.length; other += 1) {
      if (other === start || counts[other] === 0 || counts[start] === 0) continue;
      const into = this.startAt(other);
      if (Math.abs(into.slot.index - from.slot.index) > FURTHEST_MERGE) continue;
      const as = Math.ceil((counts[start]! * from.gramsEach) / into.gramsEach - 1e-9);
      yield {
        changes: [
          { start, by: -counts[start]! },
          { start: other, by: as },
        ],
      };
      if (as > 1)
        yield {
          changes: [
            { start, by: -counts[start]! },
            { start: other, by: as - 1 },
          ],
        };
    }
  }

  /** One more container that could mother, anywhere: for the reserve, or for a start that lacks a mother. */
  private *newMothers(counts: Int32Array): Generator<StartMove> {
    if (this.field.strain.motherReserve === 0) return;
    for (let local = 0; local < counts.length; local += 1) {
      const { generation } = this.startAt(local);
      if (generation < this.field.strain.lastGeneration && counts[local] === 0)
        yield { changes: [{ start: local, by: 1 }] };
    }
  }

  private startAt(local: number) {
    return this.field.options[local]!;
  }

  /** New starts on the last bench slots from which each run can be reached. */
  private *newStarts(counts: Int32Array): Generator<StartMove> {
    const tried = new Set<number>();
    for (const way of this.field.ways) {
      for (const local of this.reaching(way.day, SLOTS_TRIED)) {
        if (tried.has(local) || counts[local]! > 0) continue;
        tried.add(local);
        yield { changes: [{ start: local, by: 1 }] };
        yield { changes: [{ start: local, by: 2 }] };
        const mother = this.motherFor(local);
        if (mother === undefined) continue;
        yield {
          changes: [
            { start: local, by: 2 },
            { start: mother, by: 1 },
          ],
        };
      }
    }
  }

  /** Starts that are ripe by a day, on the last so many bench slots from which one is. */
  reaching(day: number, slots: number): number[] {
    const { options } = this.field;
    let last = -1;
    for (const { ripeDay, slot } of options) if (ripeDay <= day && slot.index > last) last = slot.index;
    return options.flatMap(({ ripeDay, slot }, place) => (ripeDay <= day && slot.index > last - slots ? [place] : []));
  }

  /** New starts that could give a run on a day so many grams, with a mother of their own or without. */
  towards(day: number, grams: number): StartMove[] {
    return this.reaching(day, SLOTS_TRIED).flatMap((start): StartMove[] => {
      const { gramsEach, most } = this.startAt(start);
      const by = Math.min(most, Math.max(1, Math.ceil(grams / gramsEach - 1e-9)));
      const mother = this.motherFor(start);
      const alone = { changes: [{ start, by }] };
      return mother === undefined ? [alone] : [alone, { changes: [...alone.changes, { start: mother, by: 1 }] }];
    });
  }

  /** The last start of the generation before, of the same size, that is ripe by the bench day. */
  motherFor(local: number): number | undefined {
    const { slot, generation, size } = this.startAt(local);
    const { slots, strain } = this.field;
    for (let index = slot.index; index >= 0; index -= 1) {
      if (slots[index]!.day + strain.daysToRipe <= slot.day) return this.find(index, generation - 1, size);
    }
    return undefined;
  }

  /** The start of a size that is ripe as a mother for a generation on a slot, so many bench days before the last that is. */
  motherOn(slot: number, generation: number, size: number, earlier: number): number | undefined {
    const { slots, strain } = this.field;
    for (let index = slot; index >= 0; index -= 1) {
      if (slots[index]!.day + strain.daysToRipe <= slots[slot]!.day)
        return this.find(index - earlier, generation - 1, size);
    }
    return undefined;
  }

  /** The start some slots, generations and sizes away, if there is one. */
  neighbour(start: number, slot: number, generation: number, size: number): number | undefined {
    const from = this.startAt(start);
    return this.find(from.slot.index + slot, from.generation + generation, from.size + size);
  }

  private find(slot: number, generation: number, size: number): number | undefined {
    if (slot < 0 || slot >= this.field.slots.length || generation < 1 || generation >= this.generations)
      return undefined;
    if (size < 0 || size >= this.sizes) return undefined;
    const place = this.byKey[this.keyOf(slot, generation, size)]!;
    return place < 0 ? undefined : place;
  }

  private keyOf(slot: number, generation: number, size: number): number {
    return (slot * this.generations + generation) * this.sizes + size;
  }
}
