import { lostContainers } from '../../assurance/lost-containers.js';
import type { WantedStart } from '../policy.js';
import { freshJar, goodUntil, type SeasonJar } from '../season-jar.js';
import type { SeasonLuck } from './season-luck.js';
import type { SeasonStock } from './season-stock.js';

/** Bench days: what is wanted is inoculated as far as bench, vessel, shelves, clean containers and mothers allow. */
export class SeasonBench {
  private readonly stock: SeasonStock;
  private readonly luck: SeasonLuck;

  constructor(stock: SeasonStock, luck: SeasonLuck) {
    this.stock = stock;
    this.luck = luck;
  }

  work(day: number, wanted: readonly WantedStart[]): void {
    const { rhythm, sizes, strains, costs } = this.stock.farm.start;
    let room = rhythm.benchContainersPerDay;
    let loads = 0;
    for (const want of wanted) {
      const size = sizes.findIndex(({ id }) => id === want.sizeId);
      const strain = strains.findIndex(({ id }) => id === want.strainId);
      const perCycle = Math.floor(rhythm.vesselPlaces / sizes[size]!.vesselPlaces + 1e-9);
      const inVessel = Math.floor((rhythm.cyclesPerPreparationDay - loads) * perCycle + 1e-6);
      const places = Math.floor(this.stock.freePlaces('incubation') / sizes[size]!.shelfPlaces);
      const clean = this.stock.clean[size] ?? Number.POSITIVE_INFINITY;
      const most = Math.min(want.containers, room, inVessel, clean, places);
      const made = most <= 0 ? 0 : this.inoculate(day, strain, size, most, want);
      room -= made;
      loads += perCycle > 0 ? made / perCycle : 0;
    }
    const cycles = Math.ceil(loads - 1e-9);
    this.stock.totals.cycles += cycles;
    this.stock.totals.cost.cycles += cycles * costs.perCycle;
  }

  /** Inoculates as many as the mothers' grams allow; gives back how many. */
  private inoculate(day: number, strain: number, size: number, most: number, want: WantedStart): number {
    const { inoculumGramsPerContainer } = this.stock.farm.start.strains[strain]!;
    const each = inoculumGramsPerContainer * this.stock.farm.start.sizes[size]!.inoculumFactor;
    let made = 0;
    let oldest = 0;
    for (const jar of this.mothersFor(day, strain, want)) {
      while (made < most) {
        if (jar.gramsLeft < each - 1e-6) break;
        if (!this.stock.open(jar, day)) break;
        jar.gramsLeft -= each;
        made += 1;
        oldest = Math.max(oldest, jar.generation);
      }
      if (made >= most) break;
    }
    if (made > 0) this.addLot(day, strain, size, made, oldest + 1);
    return made;
  }

  /**
   * Mothers in the order they are taken: those named for it; then open ones, then of the oldest generation that will do,
   * first expired first.
   */
  private mothersFor(day: number, strain: number, { generation, mothers = [] }: WantedStart): SeasonJar[] {
    const { lastGeneration } = this.stock.farm.start.strains[strain]!;
    const youngEnough = Math.min(generation ?? lastGeneration, lastGeneration);
    const able = this.stock.jars.filter(
      (jar) => jar.strain === strain && jar.generation < lastGeneration && this.stock.isReady(jar, day),
    );
    const rank = (jar: SeasonJar) => (mothers.includes(jar.code) ? 0 : jar.generation < youngEnough ? 1 : 2);
    return able.sort((one, other) => rank(one) - rank(other) || byMothering(one, other));
  }

  private addLot(day: number, strain: number, size: number, count: number, generation: number): void {
    const { start, turns } = this.stock.farm;
    const { lot, chance } = this.luck.lotOf(strain, day);
    const { lossRate } = this.luck.fateOf(strain, day);
    const lost = lostContainers(count, lossRate, lot.uniformIn(0));
    const random = this.luck.containersOf(strain, day);
    const stretch = Math.max(0.2, 1 + chance.lifeDeviation * lot.life[0]!);
    const { warmLifeDays, coldLifeDays } = start.strains[strain]!;
    const middle = this.luck.middleDays(strain, day);
    for (let place = 0; place < count; place += 1) {
      const days = Math.max(1, middle + chance.containerDeviationDays * random.normal() * this.luck.growthFactor);
      const failed = place < lost;
      const ripeDay = Math.ceil(day + days - 0.5);
      // What is lost is lost before it is ripe, also where it would have been ripe early.
      const failDay = failed ? Math.min(ripeDay, day + Math.ceil(random.uniform() * chance.daysToRipe * 0.95)) : null;
      this.stock.jars.push({
        ...freshJar(this.stock.nextCode('J'), strain, generation, size, day),
        ripeDay,
        failDay,
        hidden: failed && random.uniform() < (turns.missedMould ?? 0),
        warmLife: warmLifeDays * stretch,
        coldLife: coldLifeDays * stretch,
        gramsLeft: start.sizes[size]!.ripeGrams,
      });
    }
    this.stock.totals.started += count;
    this.stock.totals.cost.containers += count * start.costs.perContainerStarted;
    if (this.stock.clean[size] !== null) this.stock.clean[size]! -= count;
  }
}

function byMothering(one: SeasonJar, other: SeasonJar): number {
  return (
    Number(other.state === 'opened') - Number(one.state === 'opened') ||
    other.generation - one.generation ||
    goodUntil(one) - goodUntil(other)
  );
}
