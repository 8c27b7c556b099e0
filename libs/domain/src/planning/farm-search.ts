import { type SeededRandom, seededRandom } from '../statistics/seeded-random.js';
import type { AcceptedSituation } from './accepted-situation.js';
import type { FlowRelaxation } from './flow-relaxation.js';
import { UNBREAKABLE } from './hand-out.js';
import { type ReserveDay, reserveDays } from './reserve-days.js';
import { roundStarts } from './rounding.js';
import { SharedLimits } from './shared-limits.js';
import { startOptions } from './start-options.js';
import { type StrainField, strainField, waysOf } from './strain-field.js';
import { type StrainDecisions, StrainSearch } from './strain-search.js';
import { type BenchSlot, benchSlots, handlingDays } from './timeline.js';

/** What going beyond a shared limit costs while the strains bargain; in the end it is out of the question. */
const BARGAINING_PRICE = 40;
/** Temperatures, in containers' worth, at which the annealing begins and ends. */
const WARM = 0.5;
const COOL = 0.03;
/**
 * Share of a cycle, and of a unit of culture, that is paid by the part used while it is warm, and the share of the budget
 * until which it fades: between two whole numbers a search sees no slope, and a cycle empties container by container.
 */
const SMOOTHING = 0.8;
const SMOOTH_UNTIL = 0.8;
/** Draws for one strain before the next has its turn. */
const DRAWS_PER_TURN = 20;
/** Hand-outs a turn takes besides: one to begin with and one to settle. */
const HAND_OUTS_PER_TURN = DRAWS_PER_TURN + 2;
/** Turns after which runs that may take place in several ways have theirs. */
const TURNS_PER_WAY = 2;
/** Share of the budget for trying every single move at the end. */
const SWEEPING_SHARE = 0.1;

/** All decisions of a plan. */
export interface FarmDecisions {
  readonly strains: readonly StrainDecisions[];
  readonly chosen: Int32Array;
}

/**
 * The farm under search: one search per strain, which share bench, steriliser, shelves and clean containers. Everything is
 * counted in evaluations and drawn from a seed, so the same farm and budget give the same plan on every machine.
 */
export class FarmSearch {
  readonly situation: AcceptedSituation;
  readonly slots: readonly BenchSlot[];
  readonly fields: readonly StrainField[];
  readonly reserves: readonly (readonly ReserveDay[])[];
  readonly shared: SharedLimits;
  /** The way in which each run takes place. */
  readonly chosen: Int32Array;
  readonly searches: readonly StrainSearch[];
  /** Runs that may take place in several ways. */
  private readonly flexible: readonly number[];

  constructor(situation: AcceptedSituation) {
    this.situation = situation;
    this.slots = benchSlots(situation);
    const days = handlingDays(situation);
    const options = startOptions(situation, this.slots);
    const ofStrain = situation.strains.map(({ index }) => options.filter((option) => option.strain === index));
    this.fields = situation.strains.map((strain, place) =>
      strainField(situation, strain, this.slots, days, ofStrain[place]!),
    );
    this.reserves = situation.strains.map((strain, place) => reserveDays(situation, strain, days, ofStrain[place]!));
    this.shared = new SharedLimits(situation, this.fields, this.slots, days);
    this.chosen = new Int32Array(situation.runs.length);
    this.flexible = situation.runs.flatMap((run, place) => (waysOf(run).length > 1 ? [place] : []));
    this.searches = this.fields.map(
      (field, place) => new StrainSearch(field, this.shared, this.reserves[place]!, this.chosen),
    );
  }

  /** Begins from whole numbers near a flow. */
  beginFromFlow({ starts, chosen }: FlowRelaxation, values: Float64Array): void {
    chosen.forEach((columns, run) => {
      let best = 0;
      columns.forEach((column, way) => {
        if (values[column]! > values[columns[best]!]! + 1e-6) best = way;
      });
      this.chosen[run] = best;
    });
    this.searches.forEach((search, strain) => {
      search.begin(roundStarts(search.field.options, (place) => values[starts[strain]![place]!]!));
    });
  }

  /** Whether any run may take place in several ways. */
  get isFlexible(): boolean {
    return this.flexible.length > 0;
  }

  /** Begins from what was accepted. */
  beginFromStanding(): void {
    for (const search of this.searches) {
      search.begin(
        Int32Array.from(search.field.options, ({ accepted, fewest, most }) =>
          Math.max(fewest, Math.min(most, accepted)),
        ),
      );
    }
  }

  /** Whether exactly what was accepted is started. */
  get isAsAccepted(): boolean {
    return this.searches.every(({ counts, field }) =>
      field.options.every(({ accepted }, place) => counts[place] === accepted),
    );
  }

  countChanges(counts: boolean): void {
    for (const search of this.searches) search.countChanges(counts);
  }

  decisions(): FarmDecisions {
    return { strains: this.searches.map((search) => search.decisions()), chosen: this.chosen.slice() };
  }

  decide({ strains, chosen }: FarmDecisions): void {
    this.chosen.set(chosen);
    this.searches.forEach((search, place) => {
      search.decide(strains[place]!);
    });
  }

  /**
   * Improves what there is: annealing first, then every single move. Ends within all limits.
   * @param evaluations hand-outs to work out, over all strains
   * @param warmth 1 to begin anywhere, less to stay near
   * @param seed of the draws
   */
  improve(evaluations: number, warmth = 1, seed = 1): void {
    const share = evaluations / Math.max(1, this.searches.length);
    this.anneal(share * (1 - SWEEPING_SHARE), warmth, seededRandom(seed));
    for (const search of this.searches) {
      search.setLimitPrice(UNBREAKABLE);
      search.setSmoothing(0);
    }
    const limits = this.searches.map((search) => search.evaluations + share * SWEEPING_SHARE);
    for (let improved = true; improved; ) {
      improved = false;
      this.searches.forEach((search, place) => {
        if (search.sweep(limits[place]!)) improved = true;
      });
    }
    for (const search of this.searches) search.retreat();
    for (const search of this.searches) search.surrender();
  }

  /** Cools down over the budget; for the last third limits are unbreakable. */
  private anneal(evaluations: number, warmth: number, random: SeededRandom): void {
    const { costs } = this.situation;
    const worth = costs.perContainerStarted + 0.2 * costs.perCycle + 0.01;
    const turns = Math.ceil(evaluations / HAND_OUTS_PER_TURN);
    for (let turn = 0; turn < turns; turn += 1) {
      const share = turn / turns;
      const temperature = worth * warmth * WARM * (COOL / WARM) ** share;
      const price = share < 2 / 3 ? BARGAINING_PRICE : UNBREAKABLE;
      const smoothing = SMOOTHING * Math.max(0, 1 - share / SMOOTH_UNTIL);
      for (const search of this.searches) {
        search.setLimitPrice(price);
        search.setSmoothing(smoothing);
        search.anneal(DRAWS_PER_TURN, temperature, random);
      }
      if (turn % TURNS_PER_WAY > 0) continue;
      for (const run of this.flexible) this.annealWay(run, temperature, random);
    }
  }

  /** Tries another way for a run that may take place on several days or with several strains. */
  private annealWay(run: number, temperature: number, random: SeededRandom): void {
    const ways = waysOf(this.situation.runs[run]!);
    const before = this.chosen[run]!;
    const after = random.whole(ways.length);
    if (after === before) return;
    const touched = [...new Set([ways[before]!.strain, ways[after]!.strain])].map((strain) => this.searches[strain]!);
    const was = this.costOf(touched);
    this.chosen[run] = after;
    const is = this.costOf(touched);
    if (is < was - temperature * Math.log(1 - random.uniform())) return;
    this.chosen[run] = before;
    this.costOf(touched);
  }

  /** Cost of some strains, each given those before it; leaves them settled. */
  private costOf(searches: readonly StrainSearch[]): number {
    for (const search of searches) search.lift();
    let sum = 0;
    for (const search of searches) {
      sum += search.evaluate();
      search.settle();
    }
    return sum;
  }

  /** Cost of the whole farm as it stands. */
  cost(): number {
    return this.costOf(this.searches);
  }
}
