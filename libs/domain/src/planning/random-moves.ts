import type { SeededRandom } from '../statistics/seeded-random.js';
import type { SharedLimits } from './shared-limits.js';
import type { StartMove, StartNeighbourhood } from './start-moves.js';
import type { RunWay, StrainField } from './strain-field.js';

/** Bench slots before a run among which a new start is drawn. */
const SLOTS_BEFORE_RUN = 8;
/** Draws in search of something that lacks or is left. */
const LOOKS = 4;

/** Runs so many days apart are taken to want the same spawn. */
const DAYS_NEAR = 28;

/** What a hand-out left over, as a hint where to change something. */
export interface SearchHints {
  /** Grams given, by way. */
  readonly covered: Float64Array;
  /** Containers left unopened, by lot. */
  readonly left: Int32Array;
}

/** Draws small changes to one strain's starts: mostly of what is there, now and then something new. */
export class RandomMoves {
  private readonly field: StrainField;
  private readonly moves: StartNeighbourhood;
  private readonly shared: SharedLimits;
  /** For each run, the starts that are ripe in time for it, the latest bench days only. */
  private readonly reaching: readonly (readonly number[])[];
  private readonly mothers: readonly number[];
  private readonly present: Int32Array;

  constructor(field: StrainField, moves: StartNeighbourhood, shared: SharedLimits) {
    this.field = field;
    this.moves = moves;
    this.shared = shared;
    this.reaching = field.ways.map((way) => moves.reaching(way.day, SLOTS_BEFORE_RUN));
    this.mothers = field.options.flatMap(({ generation }, place) =>
      generation < field.strain.lastGeneration ? [place] : [],
    );
    this.present = new Int32Array(field.options.length);
  }

  /**
   * A move, or null when the draw has no meaning.
   * @param hints of the set of starts as it stands
   */
  draw(counts: Int32Array, hints: SearchHints, random: SeededRandom): StartMove | null {
    const present = this.findPresent(counts);
    const kind = random.uniform();
    if (present === 0 || kind < 0.14) return this.newStart(hints, random);
    const start = this.present[random.whole(present)]!;
    const all = counts[start]!;
    if (kind < 0.24) return this.fewer(present, counts, hints, random);
    const some = random.uniform() < 0.5 ? all : 1 + random.whole(all);
    if (kind < 0.32) return this.transfer(start, some, this.anyNear(start, random));
    if (kind < 0.44) return { changes: [{ start, by: 1 + random.whole(2) }] };
    if (kind < 0.6) return this.transfer(start, some, this.moves.neighbour(start, shift(random), 0, 0));
    if (kind < 0.7) return this.toOpenCycle(start, some, random);
    if (kind < 0.78)
      return this.transfer(start, some, this.moves.neighbour(start, 0, random.uniform() < 0.5 ? -1 : 1, 0));
    if (kind < 0.88)
      return this.transfer(start, some, this.moves.neighbour(start, 0, 0, random.uniform() < 0.5 ? -1 : 1));
    return this.transfer(start, some, this.present[random.whole(present)]);
  }

  /** To the nearest bench day, before or after, whose last cycle has room left by other strains. */
  private toOpenCycle(start: number, count: number, random: SeededRandom): StartMove | null {
    const step = random.uniform() < 0.5 ? -1 : 1;
    const { cycles } = this.shared.total;
    const from = this.field.options[start]!.slot.index;
    for (
      let slot = from + step;
      slot >= 0 && slot < cycles.length && Math.abs(slot - from) < SLOTS_BEFORE_RUN;
      slot += step
    ) {
      const taken = cycles[slot]!;
      if (taken - Math.floor(taken + 1e-9) > 1e-6)
        return this.transfer(start, count, this.moves.neighbour(start, slot - from, 0, 0));
    }
    return null;
  }

  private transfer(start: number, count: number, to: number | undefined): StartMove | null {
    if (to === undefined || to === start) return null;
    const ratio = this.field.options[start]!.gramsEach / this.field.options[to]!.gramsEach;
    return {
      changes: [
        { start, by: -count },
        { start: to, by: Math.max(1, Math.round(count * ratio)) },
      ],
    };
  }

  private anyNear(start: number, random: SeededRandom): number | undefined {
    const generation = random.whole(3) - 1;
    const { size } = this.field.options[start]!;
    const other = random.whole(this.field.situation.sizes.length);
    return this.moves.neighbour(start, shift(random), generation, other - size);
  }

  /** Fewer of what is left over, if anything is; of anything else now and then. */
  private fewer(present: number, counts: Int32Array, { left }: SearchHints, random: SeededRandom): StartMove {
    let start = 0;
    for (let tries = 0; tries < LOOKS; tries += 1) {
      start = this.present[random.whole(present)]!;
      const over = left[this.field.stockLots + start]!;
      if (over > 0) return { changes: [{ start, by: -Math.min(over, counts[start]!) }] };
    }
    const by = random.uniform() < 0.5 ? counts[start]! : 1 + random.whole(counts[start]!);
    return { changes: [{ start, by: -by }] };
  }

  private newStart({ covered }: SearchHints, random: SeededRandom): StartMove | null {
    const forReserve = this.field.strain.motherReserve > 0 && random.uniform() < 0.15;
    const way = forReserve || this.reaching.length === 0 ? -1 : this.wayInWant(covered, random);
    const missing = way < 0 ? 0 : this.field.ways[way]!.targetGrams - covered[way]!;
    const from = forReserve ? this.mothers : this.reaching[way];
    if (!from || from.length === 0) return null;
    const start = from[random.whole(from.length)]!;
    const enough = Math.ceil(missing / this.field.options[start]!.gramsEach);
    const by = enough > 0 && random.uniform() < 0.6 ? enough : 1 + random.whole(2);
    const mother = random.uniform() < 0.25 ? this.moves.motherFor(start) : undefined;
    const changes = [{ start, by }];
    return { changes: mother === undefined ? changes : [...changes, { start: mother, by: 1 }] };
  }

  /** A run's way, drawn by what its shortage costs; any of them now and then. */
  private wayInWant(covered: Float64Array, random: SeededRandom): number {
    const { ways } = this.field;
    let sum = 0;
    for (let way = 0; way < ways.length; way += 1) sum += shortageOf(ways[way]!, covered[way]!);
    if (sum <= 0 || random.uniform() < 0.3) return random.whole(ways.length);
    let drawn = random.uniform() * sum;
    for (let way = 0; way < ways.length; way += 1) {
      drawn -= shortageOf(ways[way]!, covered[way]!);
      if (drawn < 0) return way;
    }
    return ways.length - 1;
  }

  /** Any start there is, or null when there is none. */
  anyPresent(counts: Int32Array, random: SeededRandom): number | null {
    const present = this.findPresent(counts);
    return present === 0 ? null : this.present[random.whole(present)]!;
  }

  /** Any lot there is, or null when there is none. */
  anyLot(counts: Int32Array, random: SeededRandom): number | null {
    const { stockLots } = this.field;
    const present = this.findPresent(counts);
    if (stockLots + present === 0) return null;
    const place = random.whole(stockLots + present);
    return place < stockLots ? place : stockLots + this.present[place - stockLots]!;
  }

  /** The place of a wish on a day near that of another: only such take spawn from each other. */
  wishNear(serving: Int32Array, from: number, random: SeededRandom): number {
    const { ways } = this.field;
    const day = ways[serving[from]! >> 1]!.day;
    let to = from;
    for (let tries = 0; tries < LOOKS; tries += 1) {
      to = random.whole(serving.length);
      if (Math.abs(ways[serving[to]! >> 1]!.day - day) <= DAYS_NEAR) break;
    }
    return to;
  }

  private findPresent(counts: Int32Array): number {
    let present = 0;
    for (let start = 0; start < counts.length; start += 1) {
      if (counts[start] === 0) continue;
      this.present[present] = start;
      present += 1;
    }
    return present;
  }
}

/** Square root of the cost, so that what cannot be helped does not take all draws. */
function shortageOf({ minGrams, targetGrams, perGramShort, perGramBelow }: RunWay, covered: number): number {
  const short = Math.max(0, minGrams - covered) * perGramShort;
  return Math.sqrt(short + Math.max(0, targetGrams - Math.max(minGrams, covered)) * perGramBelow);
}

function shift(random: SeededRandom): number {
  const far = 1 + Math.floor(random.uniform() * random.uniform() * 6);
  return random.uniform() < 0.5 ? -far : far;
}
