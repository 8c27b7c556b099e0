import { LITTLE_GRAMS, type LotState, lotState } from './lot-state.js';
import type { Luck } from './luck.js';
import type { SimulatedFarm, SimulatedStart, SimulatedStrain } from './simulated-farm.js';

/** What came of one strain's plan over all draws. Grams are means over draws. */
export interface StrainOutcome {
  /** Draws in which each run got at least its minimum on its day, in the order of the strain's runs. */
  readonly covered: Float64Array;
  /** Draws in which each run got its target. */
  readonly full: Float64Array;
  /** Grams below the minimum, and between minimum and target, by run. */
  readonly shortGrams: Float64Array;
  readonly belowTargetGrams: Float64Array;
  /** Ripe grams nobody used before they were too old, within the horizon. */
  readonly agedOutGrams: number;
  /** Containers of each lot nobody used by the end, whether aged out or still good. */
  readonly unused: Float64Array;
  /** Containers that could not be started because mothers were short, by start. */
  readonly notStarted: Float64Array;
}

/** What came of one draw. */
export interface DrawRow {
  /** Grams each run got. */
  readonly got: Float64Array;
  /** Containers of each lot nobody used. */
  readonly unused: Float64Array;
  readonly notStarted: Float64Array;
  agedOutGrams: number;
}

/** Lets chance loose on one strain's plan. Made once for a plan; counts of its starts can then be changed and tried again. */
export class StrainDraws {
  readonly plan: SimulatedStrain;
  readonly draws: number;
  /** The draw lived last; each call of {@link live} writes it anew. */
  readonly row: DrawRow;
  private readonly openedLifeDays: number;
  private readonly horizon: number;
  private readonly farm: SimulatedFarm;
  private readonly luck: Luck;
  /** Worked out when a lot first has a container: most starts a search could make stay empty. */
  private readonly known: (LotState | undefined)[];
  /** Containers that the plan opens for starts, by lot. */
  private readonly heldForStarts: Int32Array;
  /** Lots that have containers this time. */
  private lots: LotState[] = [];
  private counts: ArrayLike<number> = [];
  private order: LotState[] = [];
  /** The earliest start of all lots from each place of the order on. */
  private earliest = new Int16Array(0);
  /** Starts that are made this time, or that mothers are held for: most that a search could make are neither. */
  private active: number[] = [];
  /** Lots before this place of the order have nothing left for anybody. */
  private first = 0;

  constructor(farm: SimulatedFarm, plan: SimulatedStrain, luck: Luck) {
    this.farm = farm;
    this.plan = plan;
    this.draws = luck.draws;
    this.luck = luck;
    this.known = plan.lots.map(() => undefined);
    this.heldForStarts = new Int32Array(plan.lots.length);
    for (const { mothers } of plan.starts) for (const { lot, opened } of mothers) this.heldForStarts[lot]! += opened;
    this.openedLifeDays = farm.situation.rhythm.openedLifeDays;
    this.horizon = farm.situation.horizon;
    this.row = {
      got: new Float64Array(plan.runs.length),
      unused: new Float64Array(plan.lots.length),
      notStarted: new Float64Array(plan.starts.length),
      agedOutGrams: 0,
    };
  }

  /** @param counts containers by lot; the plan's own when left out */
  run(counts: ArrayLike<number> = this.plan.lots.map(({ containers }) => containers)): StrainOutcome {
    const tally = new OutcomeTally(this.plan);
    this.bring(counts);
    for (let draw = 0; draw < this.draws; draw += 1) {
      this.live(draw);
      tally.add(this.row);
    }
    return tally.outcome(this.draws);
  }

  /** Takes these counts for the draws that are lived from now on. */
  bring(counts: ArrayLike<number>): void {
    this.counts = counts;
    this.lots = [];
    for (let place = 0; place < this.known.length; place += 1) {
      if (counts[place]! === 0) continue;
      const lot = this.lotAt(place);
      lot.count(counts[place]!);
      this.lots.push(lot);
    }
    this.order = [...this.lots];
    if (this.earliest.length < this.lots.length) this.earliest = new Int16Array(2 * this.lots.length);
    const { starts } = this.plan;
    this.active = [];
    for (let start = 0; start < starts.length; start += 1) {
      if (counts[starts[start]!.lot]! > 0 || starts[start]!.mothers.length > 0) this.active.push(start);
    }
    this.row.notStarted.fill(0);
  }

  lotAt(place: number): LotState {
    const lot = this.known[place] ?? lotState(this.farm, this.plan, place, this.luck, this.heldForStarts[place]!);
    this.known[place] = lot;
    return lot;
  }

  /**
   * Lives one draw; what came of it is in {@link row} until the next.
   * @param lastRun with it life goes only until this run has got its spawn; the row tells of no later one
   */
  live(draw: number, lastRun = this.plan.runs.length - 1): void {
    const { runs, starts } = this.plan;
    const { active } = this;
    this.begin(draw);
    let next = 0;
    for (let place = 0; place <= lastRun; place += 1) {
      const { day } = runs[place]!;
      for (; next < active.length && starts[active[next]!]!.day <= day; next += 1) this.inoculate(draw, active[next]!);
      this.feed(draw, place);
    }
    if (lastRun < runs.length - 1) return;
    for (; next < active.length; next += 1) this.inoculate(draw, active[next]!);
    this.end();
  }

  /** Sets every lot back and puts them into the order in which they grow too old: nearly that of the draw before. */
  private begin(draw: number): void {
    const { order } = this;
    this.first = 0;
    for (let next = 0; next < order.length; next += 1) {
      const lot = order[next]!;
      lot.begin(draw);
      let at = next;
      for (; at > 0 && isBefore(lot, order[at - 1]!); at -= 1) order[at] = order[at - 1]!;
      order[at] = lot;
    }
    let earliest = Number.POSITIVE_INFINITY;
    for (let at = order.length - 1; at >= 0; at -= 1) {
      const { startDay } = order[at]!;
      if (startDay < earliest) earliest = startDay;
      this.earliest[at] = earliest;
    }
  }

  /** Takes the mothers' grams; fewer grams make fewer containers. */
  private inoculate(draw: number, place: number): void {
    const start = this.plan.starts[place]!;
    const wanted = this.counts[start.lot]!;
    this.row.notStarted[place] = 0;
    for (const { lot, opened } of start.mothers) {
      const mother = this.known[lot];
      if (mother) mother.held = Math.max(0, mother.held - opened);
    }
    if (start.fromCulture || wanted === 0) return;
    let grams = wanted * start.inoculumGramsEach;
    for (const { lot } of start.mothers) {
      const mother = this.known[lot];
      if (mother && this.counts[lot]! > 0 && grams > 0) grams = this.take(draw, mother, start.day, grams, 0);
    }
    if (grams > LITTLE_GRAMS) grams = this.takeAnyMother(draw, start, grams);
    if (grams <= LITTLE_GRAMS) return;
    const made = Math.max(0, Math.floor(wanted - grams / start.inoculumGramsEach + 1e-6));
    this.row.notStarted[place] = wanted - made;
    const child = this.known[start.lot]!;
    child.clean = child.luck.cleanIn(draw, made);
  }

  private takeAnyMother(draw: number, start: SimulatedStart, grams: number): number {
    const { generation } = this.plan.lots[start.lot]!;
    let wanted = grams;
    const { order, earliest } = this;
    for (let at = 0; at < order.length && earliest[at]! < start.day; at += 1) {
      const lot = order[at]!;
      if (lot.generation >= generation || lot.startDay >= start.day) continue;
      wanted = this.take(draw, lot, start.day, wanted, lot.held);
      if (wanted <= LITTLE_GRAMS) return 0;
    }
    return wanted;
  }

  private feed(draw: number, place: number): void {
    const { day, plannedGrams } = this.plan.runs[place]!;
    const { order, earliest } = this;
    let wanted = plannedGrams;
    while (this.first < order.length && order[this.first]!.isDone(day)) this.first += 1;
    for (let at = this.first; at < order.length && wanted > LITTLE_GRAMS && earliest[at]! < day; at += 1) {
      const lot = order[at]!;
      if (lot.keptAsMother || lot.startDay >= day) continue;
      wanted = this.take(draw, lot, day, wanted, lot.held);
    }
    this.row.got[place] = plannedGrams - Math.max(0, wanted);
  }

  /** Opens as many containers of a lot as it takes and may; gives back what is still wanted. */
  private take(draw: number, lot: LotState, day: number, grams: number, held: number): number {
    let wanted = grams;
    if (lot.openGrams > LITTLE_GRAMS && lot.openUntil >= day) {
      const part = Math.min(lot.openGrams, wanted);
      lot.openGrams -= part;
      wanted -= part;
    }
    if (wanted <= LITTLE_GRAMS || lot.mustBeUsedBy < day) return wanted;
    if (lot.clean <= lot.used + held) return wanted;
    const ready = lot.ripeBy(draw, day) - lot.used - held;
    if (ready <= 0) return wanted;
    const { gramsEach } = lot;
    const opened = Math.min(ready, Math.ceil(wanted / gramsEach - 1e-3));
    lot.used += opened;
    const left = opened * gramsEach - wanted;
    if (left <= 0) return -left;
    lot.openGrams = left;
    lot.openUntil = day + this.openedLifeDays;
    return 0;
  }

  private end(): void {
    const { row, lots, horizon } = this;
    let aged = 0;
    row.unused.fill(0);
    for (let place = 0; place < lots.length; place += 1) {
      const lot = lots[place]!;
      const unused = Math.max(0, lot.clean - lot.used);
      row.unused[lot.place] = unused;
      aged += (lot.mustBeUsedBy < horizon ? unused * lot.gramsEach : 0) + lot.openGrams;
    }
    row.agedOutGrams = aged;
  }
}

/** Too old sooner; of two on one day the lot that was there first. */
function isBefore(one: LotState, other: LotState): boolean {
  if (one.mustBeUsedBy !== other.mustBeUsedBy) return one.mustBeUsedBy < other.mustBeUsedBy;
  return one.place < other.place;
}

class OutcomeTally {
  private readonly plan: SimulatedStrain;
  private readonly covered: Float64Array;
  private readonly full: Float64Array;
  private readonly shortGrams: Float64Array;
  private readonly belowTargetGrams: Float64Array;
  private readonly unused: Float64Array;
  private readonly notStarted: Float64Array;
  private agedOutGrams = 0;

  constructor(plan: SimulatedStrain) {
    const { runs, lots, starts } = plan;
    this.plan = plan;
    this.covered = new Float64Array(runs.length);
    this.full = new Float64Array(runs.length);
    this.shortGrams = new Float64Array(runs.length);
    this.belowTargetGrams = new Float64Array(runs.length);
    this.unused = new Float64Array(lots.length);
    this.notStarted = new Float64Array(starts.length);
  }

  add(row: DrawRow): void {
    const { runs } = this.plan;
    for (let place = 0; place < runs.length; place += 1) {
      const { minGrams, targetGrams } = runs[place]!;
      const got = row.got[place]!;
      if (isEnough(got, minGrams)) this.covered[place]! += 1;
      else this.shortGrams[place]! += minGrams - got;
      if (isEnough(got, targetGrams)) this.full[place]! += 1;
      else this.belowTargetGrams[place]! += targetGrams - Math.max(minGrams, got);
    }
    addTo(this.unused, row.unused);
    addTo(this.notStarted, row.notStarted);
    this.agedOutGrams += row.agedOutGrams;
  }

  outcome(draws: number): StrainOutcome {
    const mean = (sums: Float64Array) => sums.map((sum) => sum / draws);
    return {
      covered: this.covered,
      full: this.full,
      shortGrams: mean(this.shortGrams),
      belowTargetGrams: mean(this.belowTargetGrams),
      unused: mean(this.unused),
      notStarted: mean(this.notStarted),
      agedOutGrams: this.agedOutGrams / draws,
    };
  }
}

/** A gram or so short is weighed as enough. */
export function isEnough(grams: number, wanted: number): boolean {
  return grams >= wanted - 2 * LITTLE_GRAMS;
}

function addTo(sums: Float64Array, values: Float64Array): void {
  for (let place = 0; place < sums.length; place += 1) sums[place]! += values[place]!;
}
