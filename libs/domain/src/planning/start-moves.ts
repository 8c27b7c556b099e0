import type { SpawnModel } from './spawn-model.js';
import type { StrainView } from './strain-view.js';

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
  private readonly model: SpawnModel;
  private readonly view: StrainView;
  private readonly byKey = new Map<string, number>();

  constructor(model: SpawnModel, view: StrainView) {
    this.model = model;
    this.view = view;
    view.starts.forEach((_, local) => {
      this.byKey.set(this.keyOf(local, 0, 0, 0), local);
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
    const possible = move.changes.every(({ start, by }) => {
      const count = counts[start]! + by;
      return count >= 0 && count <= this.model.starts[this.view.starts[start]!]!.most;
    });
    if (possible) for (const { start, by } of move.changes) counts[start]! += by;
    return possible;
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
    for (const size of this.model.situation.sizes) yield* this.resize(start, size.index, all);
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
    const from = this.model.starts[this.view.starts[start]!]!;
    if (size === from.size) return;
    const to = this.neighbour(start, 0, 0, size - from.size);
    if (to === undefined) return;
    const other = this.model.starts[this.view.starts[to]!]!;
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
    if (this.view.reserves.length === 0) return;
    for (let local = 0; local < counts.length; local += 1) {
      const { generation } = this.startAt(local);
      if (generation < this.view.strain.lastGeneration && counts[local] === 0)
        yield { changes: [{ start: local, by: 1 }] };
    }
  }

  private startAt(local: number) {
    return this.model.starts[this.view.starts[local]!]!;
  }

  /** New starts on the last bench slots from which each run can be reached. */
  private *newStarts(counts: Int32Array): Generator<StartMove> {
    const tried = new Set<number>();
    for (const run of this.view.runs) {
      const ripe = this.view.starts.flatMap((global, local) => {
        const { ripeDay, slot } = this.model.starts[global]!;
        return ripeDay <= run.day ? [{ local, slot: slot.index }] : [];
      });
      const lastSlot = Math.max(-1, ...ripe.map((each) => each.slot));
      for (const { local, slot } of ripe) {
        if (slot <= lastSlot - SLOTS_TRIED || tried.has(local) || counts[local]! > 0) continue;
        tried.add(local);
        yield { changes: [{ start: local, by: 1 }] };
        yield { changes: [{ start: local, by: 2 }] };
        const mother = this.motherFor(local);
        if (mother !== undefined)
          yield {
            changes: [
              { start: local, by: 2 },
              { start: mother, by: 1 },
            ],
          };
      }
    }
  }

  /** The last start of the generation before, of the same size, that is ripe by the bench day. */
  motherFor(local: number): number | undefined {
    const child = this.startAt(local);
    const slots = this.model.slots.filter((slot) => slot.day + this.view.strain.daysToRipe <= child.slot.day);
    const last = slots.at(-1);
    return last && this.neighbour(local, last.index - child.slot.index, -1, 0);
  }

  /** The start some slots, generations and sizes away, if there is one. */
  neighbour(start: number, slot: number, generation: number, size: number): number | undefined {
    return this.byKey.get(this.keyOf(start, slot, generation, size));
  }

  private keyOf(local: number, slot: number, generation: number, size: number): string {
    const start = this.model.starts[this.view.starts[local]!]!;
    return `${start.slot.index + slot}|${start.generation + generation}|${start.size + size}`;
  }
}
