import type { AcceptedCosts } from '../planning/accepted-situation.js';
import { LITTLE_GRAMS } from './lot-state.js';
import { isEnough, type StrainDraws } from './strain-draws.js';

/** A day before all others. */
const NEVER = -1000;
/** How much dearer than its spawn a run below its assurance counts, so that assurance comes before money. */
const ASSURANCE_WEIGHT = 20;

/** What a run weighs that is never covered though it should always be. */
export function missingWeight(minGrams: number, perGramShort: number): number {
  return ASSURANCE_WEIGHT * minGrams * perGramShort;
}

/**
 * Judges changes of one strain's starts against the counts it holds, all on the same luck. A try lives only the draws that
 * the change can matter to: containers more help where a run lacks something, containers fewer hurt where they were used.
 * What is held is lived in full.
 */
export class StrainTrials {
  /** Expected money without what starts cost, and the weight of every missing point of assurance. */
  worth = 0;
  /** Means over draws, of what is held. */
  readonly shortGrams: Float64Array;
  readonly unused: Float64Array;
  readonly notStarted: Float64Array;
  private readonly draws: StrainDraws;
  private readonly costs: AcceptedCosts;
  private readonly assurance: number;
  private readonly horizon: number;
  private counts: number[];
  /** Draws in which each run is covered. */
  private readonly covered: Float64Array;
  /** By draw: money, the last day on which a run got less than planned, and by run and lot what became of it. */
  private readonly money: Float64Array;
  private readonly lackingUntil: Int16Array;
  private readonly coveredIn: Uint8Array;
  private readonly unusedIn: Uint16Array;

  constructor(draws: StrainDraws, costs: AcceptedCosts, assurance: number, horizon: number) {
    const { runs, lots, starts } = draws.plan;
    this.draws = draws;
    this.costs = costs;
    this.assurance = assurance;
    this.horizon = horizon;
    this.shortGrams = new Float64Array(runs.length);
    this.unused = new Float64Array(lots.length);
    this.notStarted = new Float64Array(starts.length);
    this.covered = new Float64Array(runs.length);
    this.money = new Float64Array(draws.draws);
    this.lackingUntil = new Int16Array(draws.draws);
    this.coveredIn = new Uint8Array(runs.length * draws.draws);
    this.unusedIn = new Uint16Array(lots.length * draws.draws);
    this.counts = [];
    this.hold(lots.map(({ containers }) => containers));
  }

  probability(run: number): number {
    return this.covered[run]! / this.draws.draws;
  }

  /** Takes counts for its own and lives them through. */
  hold(counts: readonly number[]): void {
    const { draws } = this.draws;
    const { row, plan } = this.draws;
    this.counts = [...counts];
    this.covered.fill(0);
    for (const sums of [this.shortGrams, this.unused, this.notStarted]) sums.fill(0);
    this.draws.bring(this.counts);
    let money = 0;
    for (let draw = 0; draw < draws; draw += 1) {
      this.draws.live(draw);
      this.money[draw] = this.moneyOfRow();
      money += this.money[draw]!;
      this.lackingUntil[draw] = NEVER;
      plan.runs.forEach(({ day, minGrams, plannedGrams }, run) => {
        const got = row.got[run]!;
        const isCovered = isEnough(got, minGrams);
        this.coveredIn[run * draws + draw] = isCovered ? 1 : 0;
        if (isCovered) this.covered[run]! += 1;
        else this.shortGrams[run]! += (minGrams - got) / draws;
        // Runs are in order of their days.
        if (got < plannedGrams - 2 * LITTLE_GRAMS) this.lackingUntil[draw] = day;
      });
      for (let lot = 0; lot < row.unused.length; lot += 1) {
        this.unusedIn[lot * draws + draw] = row.unused[lot]!;
        this.unused[lot]! += row.unused[lot]! / draws;
      }
      for (let start = 0; start < row.notStarted.length; start += 1)
        this.notStarted[start]! += row.notStarted[start]! / draws;
    }
    this.worth = money / draws + this.missingWeight(this.covered);
  }

  /** What {@link worth} would be with so many containers of a lot more or, below 0, fewer. */
  tried(lot: number, by: number): number {
    const { draws, plan, row } = this.draws;
    const state = this.draws.lotAt(lot);
    const before = state.luck.cleanOf(this.counts[lot]!);
    const counts = this.counts.with(lot, this.counts[lot]! + by);
    const after = state.luck.cleanOf(counts[lot]!);
    this.draws.bring(counts);
    const covered = this.covered.slice();
    let money = 0;
    for (let draw = 0; draw < draws; draw += 1) {
      const more = after[draw]! - before[draw]!;
      // What is started later than the last run that lacks something helps none.
      const matters = by > 0 ? this.lackingUntil[draw]! > state.startDay : -more > this.unusedIn[lot * draws + draw]!;
      if (!matters) {
        money += this.money[draw]! + state.agedGrams(draw, more, this.horizon) * this.costs.perGramAgedOut;
        continue;
      }
      this.draws.live(draw);
      money += this.moneyOfRow();
      for (let run = 0; run < covered.length; run += 1) {
        const isCovered = isEnough(row.got[run]!, plan.runs[run]!.minGrams) ? 1 : 0;
        covered[run]! += isCovered - this.coveredIn[run * draws + draw]!;
      }
    }
    return money / draws + this.missingWeight(covered);
  }

  /** Whether a run would be covered in at least a share of the draws with other counts; stops when the rest decides nothing. */
  isCovered(run: number, counts: readonly number[], share: number): boolean {
    const { draws, plan, row } = this.draws;
    const { minGrams } = plan.runs[run]!;
    this.draws.bring(counts);
    let covered = 0;
    for (let draw = 0; draw < draws; draw += 1) {
      this.draws.live(draw, run);
      if (isEnough(row.got[run]!, minGrams)) covered += 1;
      if (covered / draws >= share) return true;
      if ((covered + draws - 1 - draw) / draws < share) return false;
    }
    return false;
  }

  private moneyOfRow(): number {
    const { row, plan } = this.draws;
    const { costs } = this;
    let sum = row.agedOutGrams * costs.perGramAgedOut;
    for (let run = 0; run < plan.runs.length; run += 1) {
      const { minGrams, targetGrams, weight } = plan.runs[run]!;
      const got = row.got[run]!;
      if (!isEnough(got, minGrams)) sum += weight * (minGrams - got) * costs.perGramShort;
      if (!isEnough(got, targetGrams))
        sum += weight * (targetGrams - Math.max(minGrams, got)) * costs.perGramBelowTarget;
    }
    return sum;
  }

  private missingWeight(covered: Float64Array): number {
    let sum = 0;
    this.draws.plan.runs.forEach(({ minGrams }, run) => {
      const missing = this.assurance - covered[run]! / this.draws.draws;
      if (missing > 0) sum += missing * missingWeight(minGrams, this.costs.perGramShort);
    });
    return sum;
  }
}
