import type { StrainChance } from './farm-chance.js';
import { normalBelow } from './loss-table.js';
import type { LotLuck, Luck } from './luck.js';
import type { SimulatedFarm, SimulatedLot, SimulatedStart, SimulatedStrain } from './simulated-farm.js';

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

const LITTLE_GRAMS = 0.5;
const NEVER = 30_000;
/** Shares ripe by deviation from the lot's middle day, in steps of a twentieth of a standard deviation from −4 to 4. */
const RIPE_SHARES = Float64Array.from({ length: 161 }, (_, place) => normalBelow(-4 + place / 20));

/** Lets chance loose on one strain's plan. Made once for a plan; counts of its starts can then be changed and tried again. */
export class StrainDraws {
  readonly plan: SimulatedStrain;
  private readonly farm: SimulatedFarm;
  private readonly draws: number;
  private readonly luck: Luck;
  /** Worked out when a lot first has a container: most starts a search could make stay empty. */
  private readonly known: (LotState | undefined)[];
  /** Lots that have containers this time. */
  private lots: LotState[] = [];
  private readonly order: LotState[] = [];

  constructor(farm: SimulatedFarm, plan: SimulatedStrain, luck: Luck) {
    this.farm = farm;
    this.plan = plan;
    this.draws = luck.draws;
    this.luck = luck;
    this.known = plan.lots.map(() => undefined);
  }

  /** @param counts containers by lot; the plan's own when left out */
  run(counts: ArrayLike<number> = this.plan.lots.map(({ containers }) => containers)): StrainOutcome {
    const { runs, starts } = this.plan;
    const outcome = {
      covered: new Float64Array(runs.length),
      full: new Float64Array(runs.length),
      shortGrams: new Float64Array(runs.length),
      belowTargetGrams: new Float64Array(runs.length),
      unused: new Float64Array(this.plan.lots.length),
      notStarted: new Float64Array(starts.length),
      agedOutGrams: 0,
    };
    this.bring(counts);
    for (let draw = 0; draw < this.draws; draw += 1) this.draw(draw, counts, outcome);
    const mean = (sums: Float64Array) => sums.map((sum) => sum / this.draws);
    return {
      covered: outcome.covered,
      full: outcome.full,
      shortGrams: mean(outcome.shortGrams),
      belowTargetGrams: mean(outcome.belowTargetGrams),
      unused: mean(outcome.unused),
      notStarted: mean(outcome.notStarted),
      agedOutGrams: outcome.agedOutGrams / this.draws,
    };
  }

  private bring(counts: ArrayLike<number>): void {
    this.lots = [];
    for (let place = 0; place < this.known.length; place += 1) {
      if (counts[place]! === 0) continue;
      const lot = this.known[place] ?? lotState(this.farm, this.plan, place, this.luck);
      this.known[place] = lot;
      lot.count(counts[place]!);
      this.lots.push(lot);
    }
    this.order.length = this.lots.length;
  }

  private draw(draw: number, counts: ArrayLike<number>, outcome: Tally): void {
    const { runs, starts } = this.plan;
    this.begin(draw);
    let nextStart = 0;
    for (let place = 0; place < runs.length; place += 1) {
      const { day } = runs[place]!;
      for (; nextStart < starts.length && starts[nextStart]!.day <= day; nextStart += 1)
        this.inoculate(draw, nextStart, counts, outcome);
      this.feed(draw, place, outcome);
    }
    for (; nextStart < starts.length; nextStart += 1) this.inoculate(draw, nextStart, counts, outcome);
    this.end(outcome);
  }

  /** Sets every lot back and puts them into the order in which they grow too old. */
  private begin(draw: number): void {
    const { lots, order } = this;
    for (let place = 0; place < lots.length; place += 1) {
      const lot = lots[place]!;
      lot.clean = lot.cleanByDraw[draw]!;
      lot.used = 0;
      lot.openGrams = lot.lot.opened ? lot.lot.gramsEach * lot.clean : 0;
      lot.openUntil = lot.lot.opened ? lot.until[draw]! : -1;
      if (lot.lot.opened) lot.used = lot.clean;
      lot.held = lot.heldForStarts;
      lot.mustBeUsedBy = lot.until[draw]!;
      let at = place;
      for (; at > 0 && order[at - 1]!.mustBeUsedBy > lot.mustBeUsedBy; at -= 1) order[at] = order[at - 1]!;
      order[at] = lot;
    }
  }

  /** Takes the mothers' grams; fewer grams make fewer containers. */
  private inoculate(draw: number, place: number, counts: ArrayLike<number>, outcome: Tally): void {
    const start = this.plan.starts[place]!;
    const wanted = counts[start.lot]!;
    for (const { lot, opened } of start.mothers) {
      const mother = this.known[lot];
      if (mother) mother.held = Math.max(0, mother.held - opened);
    }
    if (start.fromCulture || wanted === 0) return;
    const child = this.known[start.lot]!;
    let grams = wanted * start.inoculumGramsEach;
    for (const { lot } of start.mothers) {
      const mother = this.known[lot];
      if (mother && counts[lot]! > 0 && grams > 0) grams = this.take(draw, mother, start.day, grams, 0);
    }
    if (grams > LITTLE_GRAMS) grams = this.takeAnyMother(draw, start, grams);
    if (grams <= LITTLE_GRAMS) return;
    const made = Math.max(0, Math.floor(wanted - grams / start.inoculumGramsEach + 1e-6));
    outcome.notStarted[place]! += wanted - made;
    child.clean = child.luck.cleanIn(draw, made);
  }

  private takeAnyMother(draw: number, start: SimulatedStart, grams: number): number {
    const { generation } = this.plan.lots[start.lot]!;
    let wanted = grams;
    for (const lot of this.order) {
      if (lot.lot.generation >= generation || lot.lot.startDay >= start.day) continue;
      wanted = this.take(draw, lot, start.day, wanted, lot.held);
      if (wanted <= LITTLE_GRAMS) return 0;
    }
    return wanted;
  }

  private feed(draw: number, place: number, outcome: Tally): void {
    const run = this.plan.runs[place]!;
    let wanted = run.plannedGrams;
    for (let at = 0; at < this.order.length && wanted > LITTLE_GRAMS; at += 1) {
      const lot = this.order[at]!;
      if (lot.lot.keptAsMother || lot.lot.startDay >= run.day) continue;
      wanted = this.take(draw, lot, run.day, wanted, lot.held);
    }
    const got = run.plannedGrams - Math.max(0, wanted);
    if (got >= run.minGrams - 2 * LITTLE_GRAMS) outcome.covered[place]! += 1;
    else outcome.shortGrams[place]! += run.minGrams - got;
    if (got >= run.targetGrams - 2 * LITTLE_GRAMS) outcome.full[place]! += 1;
    else outcome.belowTargetGrams[place]! += run.targetGrams - Math.max(run.minGrams, got);
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
    const ready = lot.ripeBy(draw, day) - lot.used - held;
    if (ready <= 0) return wanted;
    const { gramsEach } = lot.lot;
    const opened = Math.min(ready, Math.ceil(wanted / gramsEach - 1e-3));
    lot.used += opened;
    const left = opened * gramsEach - wanted;
    if (left <= 0) return -left;
    lot.openGrams = left;
    lot.openUntil = Math.min(day + this.farm.situation.rhythm.openedLifeDays, lot.mustBeUsedBy);
    return 0;
  }

  private end(outcome: Tally): void {
    const { horizon } = this.farm.situation;
    for (let place = 0; place < this.lots.length; place += 1) {
      const lot = this.lots[place]!;
      const unused = Math.max(0, lot.clean - lot.used);
      outcome.unused[lot.place]! += unused;
      outcome.agedOutGrams += (lot.mustBeUsedBy < horizon ? unused * lot.lot.gramsEach : 0) + lot.openGrams;
    }
  }
}

type Tally = { -readonly [Part in keyof StrainOutcome]: StrainOutcome[Part] };

/** A lot on its way through a draw. */
class LotState {
  readonly place: number;
  readonly lot: SimulatedLot;
  readonly luck: LotLuck;
  /** Last day of use by draw, and the day its middle container is ripe. */
  readonly until: Int16Array;
  readonly middle: Float32Array;
  readonly heldForStarts: number;
  cleanByDraw: Uint16Array;
  clean = 0;
  used = 0;
  held = 0;
  openGrams = 0;
  openUntil = -1;
  mustBeUsedBy = 0;
  private readonly perDay: number;

  constructor(
    place: number,
    lot: SimulatedLot,
    luck: LotLuck,
    days: LotDays,
    heldForStarts: number,
    containerDeviation: number,
  ) {
    this.place = place;
    this.lot = lot;
    this.luck = luck;
    this.until = days.until;
    this.middle = days.middle;
    this.heldForStarts = heldForStarts;
    this.perDay = containerDeviation > 0.05 ? 1 / containerDeviation : Number.POSITIVE_INFINITY;
    this.cleanByDraw = luck.cleanOf(lot.containers);
  }

  count(containers: number): void {
    this.cleanByDraw = this.luck.cleanOf(containers);
  }

  /** Clean containers that are ripe on a day. */
  ripeBy(draw: number, day: number): number {
    if (!this.lot.growing) return day >= this.lot.ripeDay ? this.clean : 0;
    const ahead = day + 0.5 - this.middle[draw]!;
    if (this.perDay === Number.POSITIVE_INFINITY) return ahead >= 0 ? this.clean : 0;
    const place = ahead * this.perDay * 20 + 80;
    if (place <= 0) return 0;
    if (place >= 160) return this.clean;
    const share = RIPE_SHARES[Math.round(place)]!;
    return Math.min(this.clean, Math.floor(this.clean * share + this.luck.roundingIn(draw)));
  }
}

interface LotDays {
  readonly until: Int16Array;
  readonly middle: Float32Array;
}

function lotState(farm: SimulatedFarm, { chance, starts, lots }: SimulatedStrain, place: number, luck: Luck): LotState {
  const lot = lots[place]!;
  const own = luck.lot(chance, lot.ties, lot.lossRate);
  const held = starts
    .flatMap(({ mothers }) => mothers)
    .reduce((sum, each) => sum + (each.lot === place ? each.opened : 0), 0);
  const missed = lot.startDay >= 0 ? luck.shared(`bench|${lot.startDay}`) : null;
  const days = daysOf(farm, lot, own, chance, { draws: luck.draws, shared: missed });
  return new LotState(place, lot, own, days, held, chance.containerDeviationDays);
}

function daysOf(
  farm: SimulatedFarm,
  lot: SimulatedLot,
  luck: LotLuck,
  { lotDeviationDays, lifeDeviation }: StrainChance,
  { draws, shared }: { readonly draws: number; readonly shared: Float32Array | null },
): LotDays {
  const until = new Int16Array(draws);
  const middle = new Float32Array(draws);
  const makeUpDays = (farm.nextBenchDay.get(lot.startDay) ?? lot.startDay) - lot.startDay;
  for (let draw = 0; draw < draws; draw += 1) {
    const missed = shared !== null && shared[draw]! < farm.missedBenchShare;
    const ripe = lot.growing ? ripeMiddle(lot, luck.ripening[draw]!, lotDeviationDays) : lot.ripeDay;
    middle[draw] = missed ? ripe + makeUpDays : ripe;
    until[draw] = lastDay(farm, lot, middle[draw]!, lifeStretch(lot, luck.life[draw]!, lifeDeviation));
  }
  return { until, middle };
}

/** What has not ripened by now will not have ripened yesterday: the deviates that would say so are folded forward. */
function ripeMiddle(lot: SimulatedLot, deviate: number, deviationDays: number): number {
  if (lot.startDay >= 0 || deviationDays <= 0) return Math.max(lot.startDay, lot.ripeDay + deviationDays * deviate);
  return lot.ripeDay + deviationDays * deviateAbove(-lot.ripeDay / deviationDays, deviate);
}

/** How long a lot keeps, as a share of the expected; what has kept until now does not end yesterday. */
function lifeStretch({ opened, livedDays, warmLife }: SimulatedLot, deviate: number, lifeDeviation: number): number {
  if (opened) return 1;
  if (livedDays <= 0 || lifeDeviation <= 0) return Math.max(0.2, 1 + lifeDeviation * deviate);
  const least = (livedDays / (livedDays + warmLife) - 1) / lifeDeviation;
  return Math.max(0.2, 1 + lifeDeviation * deviateAbove(least, deviate));
}

/** A deviate of the part of the standard normal above `least`, by quantile; the deviate itself where nothing is cut off. */
function deviateAbove(least: number, deviate: number): number {
  if (least <= -3.5) return deviate;
  const gone = Math.min(1 - 1e-9, normalBelow(least));
  return Math.max(least, deviateAt(gone + (1 - gone) * normalBelow(deviate)));
}

/** Standard normal deviate with a share u below it, by halving; rarely called. */
function deviateAt(u: number): number {
  let [low, high] = [-6, 6];
  for (let step = 0; step < 30; step += 1) {
    const centre = (low + high) / 2;
    if (normalBelow(centre) < u) low = centre;
    else high = centre;
  }
  return (low + high) / 2;
}

/** The last day of use: what is opened on the last day of its life can still be used while it may stand open. */
function lastDay(farm: SimulatedFarm, lot: SimulatedLot, middle: number, stretch: number): number {
  const unopened = lastDayUnopened(farm, lot, middle, stretch);
  return lot.opened ? unopened : unopened + farm.situation.rhythm.openedLifeDays;
}

/** So much of a warm life is counted on before what can be chilled goes into the cold: nine in ten keep as long. */
const COUNTED_LIFE = 0.87;

/** A lot keeps warm, or goes into the cold while it still surely keeps if the strain bears it. */
function lastDayUnopened(
  { handlingBefore, situation }: SimulatedFarm,
  lot: SimulatedLot,
  middle: number,
  stretch: number,
): number {
  const from = Math.max(0, Math.ceil(middle));
  const since = lot.growing ? middle : -lot.livedDays;
  const life = lot.livedDays + lot.warmLife;
  const warmUntil = Math.min(NEVER, Math.floor(since + life * stretch));
  if (lot.coldLife === 0) return warmUntil;
  const counted = Math.max(from, Math.floor(since + life * COUNTED_LIFE));
  const chillOn = counted > situation.horizon ? situation.horizon : (handlingBefore[counted] ?? -1);
  if (chillOn < from || chillOn > warmUntil) return warmUntil;
  return Math.min(NEVER, Math.floor(chillOn + lot.coldLife * stretch));
}
