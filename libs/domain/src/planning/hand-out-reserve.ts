import type { HandOutLots } from './hand-out-lots.js';
import type { HandOutTally } from './hand-out-trace.js';
import type { Handling } from './handling.js';
import { CHILLED_NEVER } from './opening-paths.js';
import type { ReserveDay } from './reserve-days.js';
import type { SharedLimits } from './shared-limits.js';
import type { StrainField } from './strain-field.js';
import type { StrainTakings } from './strain-takings.js';

/** Keeps one strain's mother reserve: chills what would be thrown away, and charges what is missing. */
export class HandOutReserve {
  private readonly field: StrainField;
  private readonly lots: HandOutLots;
  private readonly takings: StrainTakings;
  private readonly tally: HandOutTally;
  private readonly handling: Handling;
  /** By counting day: mothers that are asked for, what one that is missing costs, and the place in the reserve days. */
  private readonly required: Float64Array;
  private readonly cost: Float64Array;
  private readonly reserveAt: Int32Array;
  private readonly countingDays: readonly number[];

  constructor(
    field: StrainField,
    reserves: readonly ReserveDay[],
    { countingDays }: SharedLimits,
    lots: HandOutLots,
    handling: Handling,
    takings: StrainTakings,
    tally: HandOutTally,
  ) {
    this.field = field;
    this.lots = lots;
    this.handling = handling;
    this.takings = takings;
    this.tally = tally;
    const { perMotherMissingDay } = field.situation.costs;
    this.countingDays = countingDays;
    this.required = new Float64Array(countingDays.length);
    this.cost = new Float64Array(countingDays.length);
    this.reserveAt = new Int32Array(countingDays.length);
    reserves.forEach(({ day, until, required }, reserve) => {
      const place = countingDays.indexOf(day);
      this.required[place] = required;
      this.cost[place] = perMotherMissingDay * (until - day);
      this.reserveAt[place] = reserve;
    });
  }

  keepMothers(): void {
    const { required, tally } = this;
    const { reserve } = this.takings;
    let there = 0;
    for (let place = 0; place < required.length; place += 1) {
      there += reserve[place]!;
      const least = required[place]!;
      while (there < least && this.chillMotherFor(this.countingDays[place]!)) there += 1;
      if (there >= least) continue;
      tally.sum += (least - there) * this.cost[place]!;
      tally.trace?.missing(this.reserveAt[place]!, least - there);
    }
  }

  /** Chills a mother nobody has a use for and that would be thrown away, so that it is there on the day. */
  private chillMotherFor(day: number): boolean {
    const { play, left, arrays } = this.lots;
    for (let place = this.lots.playing - 1; place >= 0; place -= 1) {
      const lot = play[place]!;
      if (left[lot] === 0 || arrays.chillable[lot] === 0 || arrays.end[lot]! > day) continue;
      if (this.handling.chilling[lot] === CHILLED_NEVER) continue;
      if (this.keep(lot, day)) return true;
    }
    return false;
  }

  private keep(lot: number, day: number): boolean {
    const { lots, field, takings, tally } = this;
    const { costs, horizon, rhythm } = field.situation;
    const { coldLifeDays } = field.strain;
    const { chillDays, from, gramsEach } = field.lots[lot]!;
    const chillDay = chillDays.find((each) => each <= day && day <= each + coldLifeDays);
    if (chillDay === undefined) return false;
    const end = Math.min(chillDay + coldLifeDays, horizon) + 1;
    lots.take(lot, 1);
    const chillPlace = takings.placeOf(chillDay);
    lots.standWarm(lot, chillPlace, lots.arrays.endPlace[lot]!, -1);
    // The running sum of the reserve is past its beginning; the caller counts this one from the day on.
    lots.standCold(lot, chillPlace, takings.placeOf(end), 1);
    tally.sum += costs.perContainerChilled + costs.perGramDayOld * gramsEach * (Math.min(end, horizon) - from);
    if (end <= horizon) {
      tally.sum += costs.perGramAgedOut * gramsEach;
      takings.giveBack(lots.arrays.size[lot]!, end + rhythm.washingDays, 1);
    }
    tally.trace?.kept(lot, chillDay);
    return true;
  }
}
