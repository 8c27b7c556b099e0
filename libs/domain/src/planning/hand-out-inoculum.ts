import { CultureDraw } from './culture-draw.js';
import type { OptionArrays } from './field-arrays.js';
import type { HandOutLots } from './hand-out-lots.js';
import type { HandOutTally } from './hand-out-trace.js';
import { FIRST_TO_EXPIRE, FRESHEST, type Handling, MOTHER_ORDERS } from './handling.js';
import { LITTLE_GRAMS } from './opened-groups.js';
import { PATH_CELL } from './opening-paths.js';
import type { StrainField } from './strain-field.js';

/** Gives mothers and cultures to all starts of one strain, slot by slot. */
export class HandOutInoculum {
  /** Generation, slot and grams of the start that lacked inoculum. */
  lackingGeneration = 0;
  lackingSlot = 0;
  lackingGrams = 0;
  /** Whether inoculum that lacks is thought to be there, to see what it would be good for. */
  giftsAllowed = false;
  /** Share of whole units of culture that is charged by the part used. */
  smoothing = 0;
  private readonly field: StrainField;
  private readonly options: OptionArrays;
  private readonly lots: HandOutLots;
  private readonly tally: HandOutTally;
  private readonly handling: Handling;
  private readonly cultures: CultureDraw;
  /** Grams wanted on the slot, by generation of the child. */
  private readonly wanted: Float64Array;
  private readonly unitCost: number;
  private gift = 0;

  constructor(field: StrainField, options: OptionArrays, lots: HandOutLots, handling: Handling, tally: HandOutTally) {
    this.field = field;
    this.options = options;
    this.lots = lots;
    this.handling = handling;
    this.tally = tally;
    this.cultures = new CultureDraw(field);
    this.unitCost = field.strain.culture?.costPerUnit ?? 0;
    this.wanted = new Float64Array(field.strain.lastGeneration + 2);
  }

  /**
   * @param present the start options that are started, in their order, of which the first `presents` hold
   * @returns false when one cannot be inoculated
   */
  inoculate(counts: Int32Array, present: Int32Array, presents: number): boolean {
    const { slot: slotOf, day, generation, inoculum } = this.options;
    this.cultures.clear();
    let place = 0;
    while (place < presents) {
      const first = present[place]!;
      const slot = slotOf[first]!;
      for (; place < presents; place += 1) {
        const start = present[place]!;
        if (slotOf[start] !== slot) break;
        this.wanted[generation[start]!]! += counts[start]! * inoculum[start]!;
      }
      if (!this.inoculateSlot(slot, day[first]!)) return false;
    }
    if (this.smoothing > 0) this.tally.sum += this.smoothing * this.cultures.partsUsed * this.unitCost;
    return true;
  }

  private inoculateSlot(slot: number, day: number): boolean {
    let enough = true;
    for (let generation = 1; generation < this.wanted.length; generation += 1) {
      const grams = this.wanted[generation]!;
      if (grams === 0) continue;
      this.wanted[generation] = 0;
      if (grams <= LITTLE_GRAMS || !enough) continue;
      this.gift = 0;
      enough = generation === 1 ? this.takeCulture(slot, day, grams) : this.takeMothers(slot, day, generation, grams);
      if (enough) continue;
      enough = this.giftsAllowed;
      this.lackingGrams = this.gift;
      this.lackingGeneration = generation;
      this.lackingSlot = slot;
    }
    return enough;
  }

  private takeCulture(slot: number, day: number, grams: number): boolean {
    const wanted = this.cultures.draw(day, grams);
    if (wanted <= LITTLE_GRAMS) return true;
    const units = this.cultures.order(day, wanted);
    if (units === 0) return this.lacks(wanted);
    this.tally.sum += units * this.unitCost * (1 - this.smoothing);
    this.tally.trace?.ordered(slot, units);
    return true;
  }

  private lacks(grams: number): false {
    this.gift = grams;
    return false;
  }

  private takeMothers(slot: number, day: number, generation: number, grams: number): boolean {
    const { lots } = this;
    const { opened } = lots;
    const at = lots.useAt[day]!;
    let wanted = grams;
    for (let group = 0; group < this.field.opened.length && wanted > LITTLE_GRAMS; group += 1) {
      if (opened.until[group]! >= day) wanted = this.takeRest(group, slot, day, generation, wanted);
    }
    for (let open = lots.openFrom[at]!; open <= at && wanted > LITTLE_GRAMS; open += 1) {
      for (let group = opened.firstOn[open]!; group >= 0; group = opened.next[group]!)
        wanted = this.takeRest(group, slot, day, generation, wanted);
    }
    const code = this.handling.mothers[slot * (this.field.strain.lastGeneration + 1) + generation]!;
    const isEarly = code >= MOTHER_ORDERS;
    const order = isEarly ? code - MOTHER_ORDERS : code;
    while (wanted > LITTLE_GRAMS) {
      const lot = this.bestMother(generation - 1, at, wanted, order, isEarly);
      if (lot < 0) return this.lacks(wanted);
      const early = isEarly ? lots.paths.earlyDay[lot * lots.days + at]! : -1;
      const group = early >= 0 ? lots.openEarly(lot, early) : lots.open(lot, at, 1);
      wanted = this.pour(group, slot, day, generation, wanted);
    }
    return true;
  }

  /** Takes what is left in a group, if it is a mother. */
  private takeRest(group: number, slot: number, day: number, generation: number, wanted: number): number {
    const { opened } = this.lots;
    const isMother = opened.generation[group] === generation - 1 && opened.rest[group]! > LITTLE_GRAMS;
    return isMother && wanted > LITTLE_GRAMS ? this.pour(group, slot, day, generation, wanted) : wanted;
  }

  /** Set-aside mothers first; then by the order asked for. */
  private bestMother(generation: number, at: number, wanted: number, order: number, isEarly: boolean): number {
    const { lots } = this;
    const { words, unopened, reaching, ofGeneration } = lots;
    let best = -1;
    let bestRank = Number.POSITIVE_INFINITY;
    for (let word = 0; word < words; word += 1) {
      let bits = unopened[word]! & ofGeneration[generation * words + word]! & reaching[at * words + word]!;
      while (bits !== 0) {
        const lot = (word << 5) + 31 - Math.clz32(bits & -bits);
        bits &= bits - 1;
        const rank = this.rankOf(lot, at, wanted, order, isEarly);
        if (rank >= bestRank) continue;
        best = lot;
        bestRank = rank;
      }
    }
    return best;
  }

  private rankOf(lot: number, at: number, wanted: number, order: number, isEarly: boolean): number {
    const { arrays, paths, firstCell, days } = this.lots;
    const first = paths.cells[firstCell[lot]! + at * PATH_CELL]!;
    let rank = arrays.motherOnly[lot] === 1 ? 0 : 1e9;
    if (isEarly && paths.earlyDay[lot * days + at]! < 0) rank += 1e8;
    // Infinity, where the lot's habit leaves no path, stays infinite.
    if (order === FIRST_TO_EXPIRE || first === Number.POSITIVE_INFINITY) return rank + first;
    if (order === FRESHEST) return rank + 1e4 - first;
    const grams = arrays.grams[lot]!;
    return rank + (grams >= wanted ? grams - wanted : 1e6 - grams);
  }

  private pour(group: number, slot: number, day: number, generation: number, wanted: number): number {
    const part = this.lots.opened.take(group, day, wanted);
    this.tally.trace?.toStart(group, slot, generation, part);
    return wanted - part;
  }
}
