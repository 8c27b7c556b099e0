import type { Lot } from './field-lot.js';
import type { StartOption } from './start-options.js';
import type { RunWay } from './strain-field.js';

/** Tells places among the days on which shelves and mothers are counted. */
export interface CountingPlaces {
  /** Place of the first counting day on or after a day. */
  placeOf(day: number): number;
}

/** The start options of a strain as flat arrays. */
export class OptionArrays {
  readonly slot: Int32Array;
  readonly day: Int32Array;
  /** Places of the bench day and the ripe day among the days on which shelves are counted. */
  readonly dayPlace: Int32Array;
  readonly ripePlace: Int32Array;
  readonly size: Int32Array;
  readonly generation: Int32Array;
  readonly prepared: Int32Array;
  readonly accepted: Int32Array;
  readonly changeCost: Float64Array;
  readonly inoculum: Float64Array;

  constructor(options: readonly StartOption[], places: CountingPlaces) {
    this.slot = Int32Array.from(options, ({ slot }) => slot.index);
    this.day = Int32Array.from(options, ({ slot }) => slot.day);
    this.dayPlace = this.day.map((day) => places.placeOf(day));
    this.ripePlace = Int32Array.from(options, ({ ripeDay }) => places.placeOf(ripeDay));
    this.size = Int32Array.from(options, ({ size }) => size);
    this.generation = Int32Array.from(options, ({ generation }) => generation);
    this.prepared = Int32Array.from(options, ({ prepared }) => prepared);
    this.accepted = Int32Array.from(options, ({ accepted }) => accepted);
    this.changeCost = Float64Array.from(options, ({ changeCost }) => changeCost);
    this.inoculum = Float64Array.from(options, ({ inoculumGramsEach }) => inoculumGramsEach);
  }
}

/** The lots of a strain as flat arrays: what is looked at most often, in the way that is read fastest. */
export class LotArrays {
  readonly from: Int32Array;
  /** Last day it can be opened where it stands; the first day after it, or after the horizon. */
  readonly until: Int32Array;
  readonly end: Int32Array;
  /** Places of `from` and `end` among the days on which shelves are counted. */
  readonly fromPlace: Int32Array;
  readonly endPlace: Int32Array;
  readonly grams: Float64Array;
  readonly generation: Int32Array;
  readonly size: Int32Array;
  readonly count: Int32Array;
  readonly isMother: Uint8Array;
  readonly motherOnly: Uint8Array;
  readonly inCold: Uint8Array;
  readonly chillable: Uint8Array;

  constructor(lots: readonly Lot[], horizon: number, places: CountingPlaces) {
    this.from = Int32Array.from(lots, (lot) => lot.from);
    this.until = Int32Array.from(lots, (lot) => lot.until);
    this.end = Int32Array.from(lots, (lot) => Math.min(lot.until, horizon) + 1);
    this.fromPlace = this.from.map((day) => places.placeOf(day));
    this.endPlace = this.end.map((day) => places.placeOf(day));
    this.grams = Float64Array.from(lots, (lot) => lot.gramsEach);
    this.generation = Int32Array.from(lots, (lot) => lot.generation);
    this.size = Int32Array.from(lots, (lot) => lot.size);
    this.count = Int32Array.from(lots, (lot) => lot.onHand.length);
    this.isMother = Uint8Array.from(lots, (lot) => Number(lot.isMother));
    this.motherOnly = Uint8Array.from(lots, (lot) => Number(lot.motherOnly));
    this.inCold = Uint8Array.from(lots, (lot) => Number(lot.inCold));
    this.chillable = Uint8Array.from(lots, (lot) =>
      Number(lot.isMother && lot.chillDays.length > 0 && lot.until < horizon),
    );
  }
}

/** The ways of a strain's runs as flat arrays. */
export class WayArrays {
  readonly run: Int32Array;
  readonly choice: Int32Array;
  readonly day: Int32Array;
  readonly min: Float64Array;
  readonly target: Float64Array;
  readonly max: Float64Array;
  readonly short: Float64Array;
  readonly below: Float64Array;
  readonly other: Float64Array;

  constructor(ways: readonly RunWay[]) {
    this.run = Int32Array.from(ways, (way) => way.run);
    this.choice = Int32Array.from(ways, (way) => way.choice);
    this.day = Int32Array.from(ways, (way) => way.day);
    this.min = Float64Array.from(ways, (way) => way.minGrams);
    this.target = Float64Array.from(ways, (way) => way.targetGrams);
    this.max = Float64Array.from(ways, (way) => way.maxGrams);
    this.short = Float64Array.from(ways, (way) => way.perGramShort);
    this.below = Float64Array.from(ways, (way) => way.perGramBelow);
    this.other = Float64Array.from(ways, (way) => way.perGramOther);
  }
}
