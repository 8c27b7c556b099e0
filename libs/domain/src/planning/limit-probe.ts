import { addDays } from '../calendar/calendar-day.js';
import type { FarmSearch } from './farm-search.js';
import type { BindingLimit } from './plan.js';
import type { StartMove } from './start-moves.js';
import type { StrainSearch } from './strain-search.js';

/** A run counts as lifted when the probe leaves it at most this share of what it lacked. */
const STILL_LACKING = 0.5;

/** What one set of starts takes beyond a limit. */
interface Excess {
  readonly limit: BindingLimit;
  /** About what it would cost to have it. */
  readonly price: number;
}

/**
 * Tries starts for a short run as if no shared limit and no lack of mothers were in the way. What the best of them takes
 * beyond a limit is what binds the run, and how far beyond is the smallest amount that lifts it.
 */
export class LimitProbe {
  private readonly farm: FarmSearch;

  constructor(farm: FarmSearch) {
    this.farm = farm;
  }

  /** The limit that binds a run, or null when none does: the spawn it lacks is not worth its cost, or was not found. */
  bindingLimit(run: number): BindingLimit | null {
    const choice = this.farm.chosen[run]!;
    for (const search of this.farm.searches) {
      const way = search.field.ways.findIndex((each) => each.run === run && each.choice === choice);
      if (way < 0) continue;
      search.lift();
      const limit = this.probe(search, way);
      search.handOut.inoculum.giftsAllowed = false;
      search.setLimitPrice(0);
      search.settle();
      return limit;
    }
    return null;
  }

  private probe(search: StrainSearch, way: number): BindingLimit | null {
    const { handOut, field } = search;
    const { day, targetGrams } = field.ways[way]!;
    search.setLimitPrice(0);
    handOut.inoculum.giftsAllowed = false;
    const without = search.evaluate();
    const lacked = targetGrams - handOut.covered[way]!;
    handOut.inoculum.giftsAllowed = true;
    let best: StartMove | null = null;
    let least = without;
    for (const move of search.towards(day, lacked)) {
      const cost = search.tryOut(move);
      if (cost >= least || targetGrams - handOut.covered[way]! > STILL_LACKING * lacked) continue;
      [best, least] = [move, cost];
    }
    if (best === null) return null;
    search.tryOut(best);
    const [dearest] = this.excesses(search).sort((one, other) => other.price - one.price);
    return dearest?.limit ?? null;
  }

  /** What the last hand-out of a strain takes beyond the limits, given the others. */
  private excesses(search: StrainSearch): Excess[] {
    return [...this.lackingMothers(search), ...this.bench(search), ...this.places(search), ...this.clean(search)];
  }

  private lackingMothers({ handOut, field }: StrainSearch): Excess[] {
    const { lackingGrams, lackingGeneration, lackingSlot } = handOut.inoculum;
    if (lackingGrams <= 0) return [];
    const { strain, slots } = field;
    const date = this.date(slots[lackingSlot]!.day);
    const grams = Math.ceil(lackingGrams);
    const price = this.perContainer;
    if (lackingGeneration > 1) {
      const message = `Mothers of ${strain.id} are short: ${grams} g more of generation ${lackingGeneration - 1} on ${date} would help.`;
      return [{ price, limit: { kind: 'mothers', where: date, message } }];
    }
    const message = `Culture of ${strain.id} is short: ${grams} g more on ${date} would help.`;
    return [{ price, limit: { kind: 'culture', where: strain.id, message } }];
  }

  private bench({ handOut }: StrainSearch): Excess[] {
    const { shared } = this.farm;
    const { perCycle } = this.farm.situation.costs;
    const found: Excess[] = [];
    for (const slot of shared.slots) {
      const containers = shared.total.bench[slot.index]! + handOut.takings.load.bench[slot.index]!;
      const capacity = shared.benchCapacity[slot.index]!;
      const where = this.date(slot.day);
      const say = (kind: BindingLimit['kind'], amount: number, price: number, message: string) =>
        amount > 0 && found.push({ price: price * amount, limit: { kind, where, message } });
      const more = Math.ceil(containers - capacity - 1e-6);
      const bench = `The bench takes ${capacity} containers on ${where}; ${more} more would help.`;
      say('bench', more, this.perContainer, bench);
      const cycles = Math.ceil(shared.total.cycles[slot.index]! + handOut.takings.load.cycles[slot.index]! - 1e-9);
      const loads = cycles - shared.cyclesPerDay;
      const steriliser = `The steriliser runs ${shared.cyclesPerDay} cycles for ${where}; ${loads} more would help.`;
      say('steriliser', loads, this.perContainer + perCycle, steriliser);
    }
    return found;
  }

  private places({ handOut }: StrainSearch): Excess[] {
    const { shared, situation } = this.farm;
    const kinds = [
      ['incubation-places', 'incubation', 'warmPlaces', shared.warmCapacity, situation.incubationPlaces],
      ['cold-places', 'cold', 'coldPlaces', shared.coldCapacity, situation.coldPlaces],
    ] as const;
    return kinds.flatMap(([kind, name, part, capacity, places]) =>
      shared.countingDays.flatMap((day, place): Excess[] => {
        const more = Math.ceil(
          shared.total[part][place]! + handOut.takings.load[part][place]! - capacity[place]! - 1e-6,
        );
        if (!(more > 0)) return [];
        const where = this.date(day);
        const message = `All ${places} ${name} places are taken on ${where}; ${more} more would help.`;
        return [{ price: more * this.perContainer, limit: { kind, where, message } }];
      }),
    );
  }

  private clean({ handOut }: StrainSearch): Excess[] {
    const { shared, situation } = this.farm;
    return shared.countedSizes.flatMap((size, counted) =>
      shared.slots.flatMap(({ index, day }): Excess[] => {
        const taken = shared.total.clean[counted]![index]! + handOut.takings.load.clean[counted]![index]!;
        const more = Math.ceil(taken - shared.cleanCapacity[counted]![index]! - 1e-6);
        if (!(more > 0)) return [];
        const { id } = situation.sizes[size]!;
        const message = `There are not enough clean ${id} for ${this.date(day)}; ${more} more would help.`;
        return [{ price: more * this.perContainer, limit: { kind: 'clean-containers', where: id, message } }];
      }),
    );
  }

  private get perContainer(): number {
    return Math.max(this.farm.situation.costs.perContainerStarted, 0.01);
  }

  private date(day: number): string {
    return addDays(this.farm.situation.asOf, day);
  }
}
