import { LITTLE_GRAMS } from './opened-groups.js';
import type { StrainField } from './strain-field.js';

/** Generation 0 while one strain is handed out: drawn by the gram, the first to expire first; ordered in whole units. */
export class CultureDraw {
  private readonly field: StrainField;
  /** Those on hand, then the orders in their order. */
  private readonly grams: Float64Array;
  private readonly orderDay: number[] = [];
  private orders = 0;
  private unitsLeft = 0;
  /** Grams drawn of what the plan orders. */
  private drawn = 0;

  constructor(field: StrainField) {
    this.field = field;
    this.grams = new Float64Array(field.cultures.length + field.slots.length);
  }

  /** Units that what was drawn of the orders would fill. */
  get partsUsed(): number {
    return this.drawn === 0 ? 0 : this.drawn / this.gramsPerUnit;
  }

  private get gramsPerUnit(): number {
    const { culture, inoculumGrams } = this.field.strain;
    return (culture?.containersPerUnit ?? 0) * inoculumGrams;
  }

  clear(): void {
    const { cultures, strain } = this.field;
    for (let place = 0; place < cultures.length; place += 1) this.grams[place] = cultures[place]!.grams;
    this.orders = 0;
    this.drawn = 0;
    this.unitsLeft = strain.culture?.unitsAvailable ?? Number.POSITIVE_INFINITY;
  }

  /** Draws from what is there on a day; tells how many grams are still wanted. */
  draw(day: number, grams: number): number {
    const { cultures, strain } = this.field;
    let wanted = grams;
    for (let place = 0; place < cultures.length && wanted > LITTLE_GRAMS; place += 1) {
      const { from, until } = cultures[place]!;
      if (from <= day && day <= until) wanted = this.drawFrom(place, wanted);
    }
    const fromOrders = wanted;
    for (let order = 0; order < this.orders && wanted > LITTLE_GRAMS; order += 1) {
      if (day - this.orderDay[order]! <= strain.cultureLifeDays)
        wanted = this.drawFrom(cultures.length + order, wanted);
    }
    this.drawn += fromOrders - wanted;
    return wanted;
  }

  /** Orders enough for the grams and draws them; tells how many units, 0 when they cannot be had by the day. */
  order(day: number, wanted: number): number {
    const { culture } = this.field.strain;
    if (culture === null || culture.containersPerUnit <= 0 || day < culture.leadDays) return 0;
    const perUnit = this.gramsPerUnit;
    const units = Math.ceil(wanted / perUnit - 1e-9);
    if (!(units <= this.unitsLeft)) return 0;
    this.unitsLeft -= units;
    this.orderDay[this.orders] = day;
    this.grams[this.field.cultures.length + this.orders] = units * perUnit - wanted;
    this.orders += 1;
    this.drawn += wanted;
    return units;
  }

  private drawFrom(place: number, wanted: number): number {
    const part = Math.min(this.grams[place]!, wanted);
    this.grams[place]! -= part;
    return wanted - part;
  }
}
