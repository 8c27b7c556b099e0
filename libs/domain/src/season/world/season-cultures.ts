import type { StrainProfile } from '../../planning/situation.js';
import { freshJar } from '../season-jar.js';
import type { SeasonStock } from './season-stock.js';

/** Generation 0 as it is ordered, paid for and delivered. */
export class SeasonCultures {
  private readonly stock: SeasonStock;
  private readonly bought = new Map<number, number>();
  private arrivals: { readonly day: number; readonly strain: number; readonly units: number }[] = [];

  constructor(stock: SeasonStock) {
    this.stock = stock;
  }

  buy(day: number, strainId: string, units: number): void {
    const { strains } = this.stock.farm.start;
    const strain = strains.findIndex(({ id }) => id === strainId);
    const { culture } = this.asKnown(strains[strain]!, strain);
    if (culture === null) return;
    const had = Math.min(units, culture.unitsAvailable ?? Number.POSITIVE_INFINITY);
    if (had <= 0) return;
    this.bought.set(strain, (this.bought.get(strain) ?? 0) + had);
    this.stock.totals.cultureUnits += had;
    this.stock.totals.cost.cultures += had * culture.costPerUnit;
    this.arrivals.push({ day: day + culture.leadDays, strain, units: had });
  }

  arrive(day: number): void {
    for (const arrival of this.arrivals) if (arrival.day === day) this.add(day, arrival);
    this.arrivals = this.arrivals.filter((each) => each.day > day);
  }

  /** A strain with what can still be had of its culture. */
  asKnown(strain: StrainProfile, place: number): StrainProfile {
    const { cultureUnits } = this.stock.farm.turns;
    if (cultureUnits === undefined || strain.culture === null) return strain;
    const left = Math.max(0, cultureUnits - (this.bought.get(place) ?? 0));
    return { ...strain, culture: { ...strain.culture, unitsAvailable: left } };
  }

  private add(day: number, { strain, units }: { readonly strain: number; readonly units: number }): void {
    const { culture, inoculumGramsPerContainer, cultureLifeDays = 180 } = this.stock.farm.start.strains[strain]!;
    for (let unit = 0; unit < units; unit += 1) {
      this.stock.jars.push({
        ...freshJar(this.stock.nextCode('C'), strain, 0, 0, day - 1),
        ripeDay: day,
        warmLife: cultureLifeDays,
        state: 'ripe',
        seenRipeDay: day,
        gramsLeft: (culture?.containersPerUnit ?? 1) * inoculumGramsPerContainer,
      });
    }
  }
}
