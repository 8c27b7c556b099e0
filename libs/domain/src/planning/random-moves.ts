import type { RandomSource } from './random-source.js';
import type { SpawnModel } from './spawn-model.js';
import type { StartMove, StartNeighbourhood } from './start-moves.js';
import type { StrainView } from './strain-view.js';

/** Bench slots before a run among which a new start is drawn. */
const SLOTS_BEFORE_RUN = 8;

/** Draws small changes to one strain's starts: mostly of what is there, now and then something new. */
export class RandomMoves {
  private readonly model: SpawnModel;
  private readonly view: StrainView;
  private readonly moves: StartNeighbourhood;
  /** For each run, the starts that are ripe in time for it, the latest bench days only. */
  private readonly reaching: readonly (readonly number[])[];
  private readonly mothers: readonly number[];

  constructor(model: SpawnModel, view: StrainView, moves: StartNeighbourhood) {
    this.model = model;
    this.view = view;
    this.moves = moves;
    this.reaching = view.runs.map((run) => this.startsReaching(run.day)).filter((starts) => starts.length > 0);
    this.mothers = view.starts.flatMap((global, local) =>
      this.model.starts[global]!.generation < view.strain.lastGeneration ? [local] : [],
    );
  }

  /** A move, or null when the draw has no meaning. */
  draw(counts: Int32Array, random: RandomSource): StartMove | null {
    const present = this.present(counts);
    const kind = random();
    if (present.length === 0 || kind < 0.18) return this.newStart(random);
    const start = present[Math.floor(random() * present.length)]!;
    const all = counts[start]!;
    const some = random() < 0.5 ? all : 1 + Math.floor(random() * all);
    if (kind < 0.34) return { changes: [{ start, by: -some }] };
    if (kind < 0.46) return { changes: [{ start, by: 1 + Math.floor(random() * 2) }] };
    if (kind < 0.7) return this.transfer(start, some, this.moves.neighbour(start, shift(random), 0, 0));
    if (kind < 0.78) return this.transfer(start, some, this.moves.neighbour(start, 0, random() < 0.5 ? -1 : 1, 0));
    if (kind < 0.88) return this.transfer(start, some, this.moves.neighbour(start, 0, 0, random() < 0.5 ? -1 : 1));
    return this.transfer(start, some, present[Math.floor(random() * present.length)]);
  }

  private transfer(start: number, count: number, to: number | undefined): StartMove | null {
    if (to === undefined || to === start) return null;
    const ratio = this.gramsEach(start) / this.gramsEach(to);
    return {
      changes: [
        { start, by: -count },
        { start: to, by: Math.max(1, Math.round(count * ratio)) },
      ],
    };
  }

  private newStart(random: RandomSource): StartMove | null {
    const forReserve = this.view.reserves.length > 0 && random() < 0.2;
    const from = forReserve ? this.mothers : this.reaching[Math.floor(random() * this.reaching.length)];
    if (!from || from.length === 0) return null;
    const start = from[Math.floor(random() * from.length)]!;
    const by = 1 + Math.floor(random() * 3);
    const mother = random() < 0.25 ? this.moves.motherFor(start) : undefined;
    const changes = [{ start, by }];
    return { changes: mother === undefined ? changes : [...changes, { start: mother, by: 1 }] };
  }

  private present(counts: Int32Array): number[] {
    const present: number[] = [];
    for (let start = 0; start < counts.length; start += 1) if (counts[start]! > 0) present.push(start);
    return present;
  }

  private startsReaching(day: number): number[] {
    const inTime = this.view.starts.flatMap((global, local) => {
      const { ripeDay, slot } = this.model.starts[global]!;
      return ripeDay <= day ? [{ local, slot: slot.index }] : [];
    });
    const last = Math.max(-1, ...inTime.map(({ slot }) => slot));
    return inTime.filter(({ slot }) => slot > last - SLOTS_BEFORE_RUN).map(({ local }) => local);
  }

  private gramsEach(local: number): number {
    return this.model.starts[this.view.starts[local]!]!.gramsEach;
  }
}

function shift(random: RandomSource): number {
  const far = 1 + Math.floor(random() * random() * 6);
  return random() < 0.5 ? -far : far;
}
