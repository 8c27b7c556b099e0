import { normalCdf } from '../statistics/distributions.js';
import type { StrainChance } from './farm-chance.js';
import type { LotLuck, Luck } from './luck.js';
import { DeviatesAbove } from './normal.js';
import type { SimulatedFarm, SimulatedLot, SimulatedStrain } from './simulated-farm.js';

const NEVER = 30_000;
const NOTHING = new Float64Array(0);
/** Shares ripe by deviation from the lot's middle day, in steps of a twentieth of a standard deviation from −4 to 4. */
const RIPE_SHARES = Float64Array.from({ length: 161 }, (_, place) => normalCdf(-4 + place / 20));

/** So little is nothing: what rounding leaves over. */
export const LITTLE_GRAMS = 0.5;

/** A lot on its way through a draw. */
export class LotState {
  readonly place: number;
  readonly luck: LotLuck;
  readonly generation: number;
  readonly startDay: number;
  readonly gramsEach: number;
  readonly keptAsMother: boolean;
  clean = 0;
  used = 0;
  held = 0;
  openGrams = 0;
  openUntil = -1;
  mustBeUsedBy = 0;
  /** Last day of use by draw, and the day its middle container is ripe. */
  private readonly until: Int16Array;
  private readonly middle: Float32Array;
  private readonly heldForStarts: number;
  private readonly opened: boolean;
  private readonly growing: boolean;
  private readonly ripeDay: number;
  private readonly perDay: number;
  private cleanByDraw: Uint16Array;
  /** Only of what grows: what is ripe is ripe to the last container. */
  private readonly roundings: Float64Array;

  constructor(
    place: number,
    lot: SimulatedLot,
    luck: LotLuck,
    days: LotDays,
    heldForStarts: number,
    containerDeviation: number,
  ) {
    this.place = place;
    this.luck = luck;
    this.generation = lot.generation;
    this.startDay = lot.startDay;
    this.gramsEach = lot.gramsEach;
    this.keptAsMother = lot.keptAsMother;
    this.opened = lot.opened;
    this.growing = lot.growing;
    this.ripeDay = lot.ripeDay;
    this.until = days.until;
    this.middle = days.middle;
    this.heldForStarts = heldForStarts;
    this.perDay = containerDeviation > 0.05 ? 1 / containerDeviation : Number.POSITIVE_INFINITY;
    this.cleanByDraw = luck.cleanOf(lot.containers);
    this.roundings = lot.growing ? luck.roundings : NOTHING;
  }

  count(containers: number): void {
    this.cleanByDraw = this.luck.cleanOf(containers);
  }

  begin(draw: number): void {
    this.clean = this.cleanByDraw[draw]!;
    this.mustBeUsedBy = this.until[draw]!;
    this.held = this.heldForStarts;
    this.used = this.opened ? this.clean : 0;
    this.openGrams = this.opened ? this.gramsEach * this.clean : 0;
    this.openUntil = this.opened ? this.mustBeUsedBy : -1;
  }

  /** Nothing of it can be used on a day or later: it is too old, or used up. */
  isDone(day: number): boolean {
    if (this.openGrams > LITTLE_GRAMS && this.openUntil >= day) return false;
    return this.mustBeUsedBy < day || (this.startDay < day && this.used >= this.clean);
  }

  /** Grams of so many containers more or fewer that would be too old within the horizon if nobody used them. */
  agedGrams(draw: number, containers: number, horizon: number): number {
    return this.until[draw]! < horizon ? containers * this.gramsEach : 0;
  }

  /** Clean containers that are ripe on a day. */
  ripeBy(draw: number, day: number): number {
    if (!this.growing) return day >= this.ripeDay ? this.clean : 0;
    const ahead = day + 0.5 - this.middle[draw]!;
    if (this.perDay === Number.POSITIVE_INFINITY) return ahead >= 0 ? this.clean : 0;
    const place = ahead * this.perDay * 20 + 80;
    if (place <= 0) return 0;
    if (place >= 160) return this.clean;
    const share = RIPE_SHARES[Math.round(place)]!;
    return Math.min(this.clean, Math.floor(this.clean * share + this.roundings[draw]!));
  }
}

interface LotDays {
  readonly until: Int16Array;
  readonly middle: Float32Array;
}

/**
 * A lot of a strain's plan with its luck in every draw.
 * @param heldForStarts containers of it that the plan opens for starts
 */
export function lotState(
  farm: SimulatedFarm,
  plan: SimulatedStrain,
  place: number,
  luck: Luck,
  heldForStarts: number,
): LotState {
  const { chance, lots } = plan;
  const lot = lots[place]!;
  const own = luck.lot(chance, lot.ties, lot.lossRate);
  const missed = lot.startDay >= 0 ? luck.shared(`bench|${lot.startDay}`) : null;
  const days = daysOf(farm, lot, own, chance, missed);
  return new LotState(place, lot, own, days, heldForStarts, chance.containerDeviationDays);
}

function daysOf(
  farm: SimulatedFarm,
  lot: SimulatedLot,
  luck: LotLuck,
  { lotDeviationDays, lifeDeviation }: StrainChance,
  missed: Float32Array | null,
): LotDays {
  const { draws } = luck;
  const until = new Int16Array(draws);
  const middle = new Float32Array(draws);
  const makeUpDays = (farm.nextBenchDay.get(lot.startDay) ?? lot.startDay) - lot.startDay;
  const ripens = ripeningDeviates(lot, lotDeviationDays);
  const keeps = keepingDeviates(lot, lifeDeviation);
  const spread = lot.opened ? 0 : lifeDeviation;
  const ripening = lot.growing ? luck.ripening : null;
  const life = spread > 0 ? luck.life : null;
  for (let draw = 0; draw < draws; draw += 1) {
    let ripe = lot.ripeDay;
    if (ripening !== null) ripe += lotDeviationDays * (ripens ? ripens.at(ripening[draw]!) : ripening[draw]!);
    if (lot.startDay > ripe) ripe = lot.startDay;
    if (missed !== null && missed[draw]! < farm.missedBenchShare) ripe += makeUpDays;
    middle[draw] = ripe;
    const stretch = life === null ? 1 : 1 + spread * (keeps ? keeps.at(life[draw]!) : life[draw]!);
    until[draw] = lastDay(farm, lot, ripe, Math.max(0.2, stretch));
  }
  return { until, middle };
}

/** What has not ripened by now will not have ripened yesterday: the deviates that would say so are folded forward. */
function ripeningDeviates(lot: SimulatedLot, deviationDays: number): DeviatesAbove | null {
  if (!lot.growing || lot.startDay >= 0 || deviationDays <= 0) return null;
  return new DeviatesAbove(-lot.ripeDay / deviationDays);
}

/** What has kept until now does not end yesterday. */
function keepingDeviates({ livedDays, warmLife }: SimulatedLot, lifeDeviation: number): DeviatesAbove | null {
  if (livedDays <= 0 || lifeDeviation <= 0) return null;
  return new DeviatesAbove((livedDays / (livedDays + warmLife) - 1) / lifeDeviation);
}

/**
 * The last day of use. What the plan opens ahead while it still keeps can be used as long as it may stand open; nobody
 * opens anything else because it will turn out not to keep.
 */
function lastDay(farm: SimulatedFarm, lot: SimulatedLot, middle: number, stretch: number): number {
  const unopened = lastDayUnopened(farm, lot, middle, stretch);
  const { openedAheadOn } = lot;
  if (openedAheadOn < 0 || unopened < openedAheadOn) return unopened;
  return Math.max(unopened, openedAheadOn + farm.situation.rhythm.openedLifeDays);
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
