import { addDays } from '../calendar/calendar-day.js';
import type { FarmSearch } from './farm-search.js';
import type { Lot } from './field-lot.js';
import type { HandOut } from './hand-out.js';
import { NO_LOT } from './opened-groups.js';
import { mergeDiscards, mergeMoves } from './peg-pools.js';
import { InoculumWants, mergeUses, Pourer, pegCultures } from './peg-uses.js';
import {
  type OpenedUnit,
  type PeggedDiscard,
  type PeggedLeft,
  type PeggedMove,
  type PeggedOrder,
  type PeggedPlan,
  type PeggedStart,
  type PeggedUse,
  type ReserveLack,
  startId,
} from './pegged-plan.js';
import type { StrainSearch } from './strain-search.js';

/** Reads what a search has decided back into named containers, starts and days. */
export function pegFarm(farm: FarmSearch): PeggedPlan {
  const strains = farm.searches.map((search, place) => new StrainPegging(farm, search, place).peg());
  const all = <Thing>(part: (strain: StrainPegged) => readonly Thing[]) => strains.flatMap(part);
  const starts = all((strain) => strain.starts);
  const orders = all((strain) => strain.orders);
  return {
    starts,
    orders,
    loads: farm.slots
      .filter((slot) => starts.some((start) => start.benchDay === slot.day && start.containers > start.prepared))
      .map(({ index, day, preparationDay }) => ({
        preparationDay,
        benchDay: day,
        cycles: Math.ceil(farm.shared.total.cycles[index]! - 1e-9),
      })),
    uses: [...pegCultures(farm.situation, orders, starts), ...mergeUses(all((strain) => strain.uses))],
    chillings: mergeMoves(all((strain) => strain.chillings)),
    warmings: mergeMoves(all((strain) => strain.warmings)),
    discards: mergeDiscards(all((strain) => strain.discards)),
    left: all((strain) => strain.left),
    lacks: all((strain) => strain.lacks),
  };
}

interface StrainPegged {
  readonly starts: PeggedStart[];
  readonly orders: PeggedOrder[];
  readonly uses: PeggedUse[];
  readonly chillings: PeggedMove[];
  readonly warmings: PeggedMove[];
  readonly discards: PeggedDiscard[];
  readonly left: PeggedLeft[];
  readonly lacks: ReserveLack[];
}

/** Grams that go from an opened group somewhere, in the order in which they were given. */
type Pour = { readonly grams: number } & (
  | { readonly way: number }
  | { readonly slot: number; readonly generation: number }
);

class StrainPegging {
  private readonly farm: FarmSearch;
  private readonly search: StrainSearch;
  private readonly strain: number;
  private readonly pours = new Map<number, Pour[]>();
  private readonly kept: { readonly lot: number; readonly chillDay: number }[] = [];
  private readonly out: StrainPegged = {
    starts: [],
    orders: [],
    uses: [],
    chillings: [],
    warmings: [],
    discards: [],
    left: [],
    lacks: [],
  };

  constructor(farm: FarmSearch, search: StrainSearch, strain: number) {
    this.farm = farm;
    this.search = search;
    this.strain = strain;
  }

  peg(): StrainPegged {
    const { handOut } = this.search;
    this.search.lift();
    handOut.trace = this.tracer();
    this.search.evaluate();
    handOut.trace = null;
    this.pegStarts();
    const names = handOut.field.lots.map((lot) => this.namesOf(lot));
    this.pegGroups(handOut, names);
    for (const { lot, chillDay } of this.kept) this.pegKept(handOut.field.lots[lot]!, names[lot]!.shift()!, chillDay);
    handOut.field.lots.forEach((lot, place) => {
      for (const name of names[place]!) this.pegUnopened(lot, name, lot.until + 1);
    });
    this.search.settle();
    return this.out;
  }

  private tracer() {
    const { situation } = this.farm;
    const { strain, slots } = this.search.field;
    const reserves = this.farm.reserves[this.strain]!;
    const pour = (group: number, what: Pour) => {
      const before = this.pours.get(group);
      if (before) before.push(what);
      else this.pours.set(group, [what]);
    };
    return {
      toRun: (group: number, way: number, grams: number) => pour(group, { way, grams }),
      toStart: (group: number, slot: number, generation: number, grams: number) =>
        pour(group, { slot, generation, grams }),
      ordered: (slot: number, units: number) => {
        const { day } = slots[slot]!;
        this.out.orders.push({
          id: `culture:${addDays(situation.asOf, day)}:${strain.id}`,
          strain: strain.index,
          orderBy: day - strain.culture!.leadDays,
          readyOn: day,
          units,
          gramsPerUnit: strain.culture!.containersPerUnit * strain.inoculumGrams,
        });
      },
      kept: (lot: number, chillDay: number) => {
        this.kept.push({ lot, chillDay });
      },
      missing: (place: number, count: number) => {
        const { day, until } = reserves[place]!;
        this.out.lacks.push({ strain: strain.index, day, until, missing: count });
      },
    };
  }

  private pegStarts(): void {
    const { options, strain, situation } = this.search.field;
    options.forEach((option, place) => {
      const containers = this.search.counts[place]!;
      if (containers === 0) return;
      const { generation, size, ripeDay, gramsEach, inoculumGramsEach } = option;
      this.out.starts.push({
        id: startId(addDays(situation.asOf, option.slot.day), strain.id, generation, situation.sizes[size]!.id),
        strain: strain.index,
        generation,
        size,
        benchDay: option.slot.day,
        ripeDay,
        containers,
        prepared: Math.min(containers, option.prepared),
        gramsEach,
        inoculumGramsEach,
      });
    });
  }

  /** One name per container: its code, or the id of its start. */
  private namesOf(lot: Lot): string[] {
    if (lot.option === null) return lot.onHand.map((container) => container.code);
    const { slot } = this.search.field.options[lot.option]!;
    const start = this.out.starts.find(
      (each) => each.benchDay === slot.day && each.generation === lot.generation && each.size === lot.size,
    );
    return Array.from({ length: start?.containers ?? 0 }, () => start!.id);
  }

  private pegGroups(handOut: HandOut, names: readonly string[][]): void {
    const wants = new InoculumWants(this.out.starts);
    const order = Array.from({ length: handOut.opened.size }, (_, group) => group);
    order.sort((one, other) => handOut.opened.day[one]! - handOut.opened.day[other]! || one - other);
    for (const group of order) {
      const units = this.unitsOf(handOut, group, names);
      const isStock = handOut.opened.lot[group] === NO_LOT;
      const until = isStock ? handOut.opened.until[group]! : handOut.opened.lastUse[group]!;
      const pourer = new Pourer(until, units);
      for (const pour of this.pours.get(group) ?? [])
        this.out.uses.push(...this.usesOf(handOut, group, pour, pourer, wants));
      this.out.discards.push(...pourer.rest());
    }
  }

  private unitsOf(handOut: HandOut, group: number, names: readonly string[][]): OpenedUnit[] {
    const place = handOut.opened.lot[group]!;
    const day = handOut.opened.day[group]!;
    if (place === NO_LOT) {
      const { containers } = handOut.field.opened[group]!;
      return containers.map(({ code, grams }) => ({ from: code, cold: false, day: 0, opens: 0, grams }));
    }
    const lot = handOut.field.lots[place]!;
    const chillDay = handOut.opened.chillDay[group]!;
    const cold = lot.inCold || chillDay >= 0;
    const { warmUpDays } = this.farm.situation.rhythm;
    return names[place]!.splice(0, handOut.opened.count[group]!).map((from) => {
      if (chillDay >= 0) this.out.chillings.push({ day: chillDay, from, containers: 1 });
      if (cold) this.out.warmings.push({ day: day - warmUpDays, from, containers: 1 });
      return { from, cold, day, opens: 1, grams: lot.gramsEach };
    });
  }

  private usesOf(handOut: HandOut, group: number, pour: Pour, pourer: Pourer, wants: InoculumWants): PeggedUse[] {
    const generation = this.generationOf(handOut, group);
    if ('way' in pour) {
      const { run, choice, day } = handOut.field.ways[pour.way]!;
      const to = { kind: 'run', run, choice } as const;
      return pourer.pour(pour.grams).map((part) => ({ ...part, day, generation, to }));
    }
    const { day } = handOut.field.slots[pour.slot]!;
    return wants
      .split(this.strain, pour.generation, day, pour.grams)
      .flatMap(({ start, grams }) =>
        pourer.pour(grams).map((part) => ({ ...part, day, generation, to: { kind: 'start', start } as const })),
      );
  }

  private generationOf({ opened }: HandOut, group: number): number {
    return opened.generation[group]!;
  }

  private pegKept(lot: Lot, from: string, chillDay: number): void {
    this.out.chillings.push({ day: chillDay, from, containers: 1 });
    this.pegUnopened(lot, from, chillDay + this.search.field.strain.coldLifeDays + 1);
  }

  private pegUnopened({ gramsEach, generation }: Lot, from: string, end: number): void {
    if (end <= this.farm.situation.horizon) this.out.discards.push({ day: end, from, containers: 1, grams: gramsEach });
    else this.out.left.push({ from, strain: this.strain, generation, containers: 1, grams: gramsEach });
  }
}
