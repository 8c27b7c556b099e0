import type { StrainChance } from '../assurance/farm-chance.js';
import { lostContainers } from '../assurance/lost-containers.js';
import { Luck } from '../assurance/luck.js';
import { addDays, type CalendarDay, dayNumber, isoWeekday } from '../calendar/calendar-day.js';
import type { ContainerSize, FarmSituation, StockContainer, StrainProfile } from '../planning/situation.js';
import { survivalWhenClean } from '../rates/survival-of-growing.js';
import { seededRandom } from '../statistics/seeded-random.js';
import type { Morning, WantedStart, WeekDecision } from './policy.js';
import type { SeasonFarm } from './season-farm.js';
import { goodUntil, type SeasonJar } from './season-jar.js';

export interface SeasonRunResult {
  readonly run: string;
  readonly day: number;
  readonly grams: number;
  readonly minGrams: number;
  readonly targetGrams: number;
  readonly covered: boolean;
}

/** What a season came to. Money is the farm's own. */
export interface SeasonTotals {
  started: number;
  contaminated: number;
  agedOut: number;
  /** Good at the end of the season and never used. */
  neverUsed: number;
  cycles: number;
  cultureUnits: number;
  missedBenchDays: number;
  readonly cost: {
    containers: number;
    cycles: number;
    cultures: number;
    chilling: number;
    agedOut: number;
    short: number;
    belowTarget: number;
  };
}

const LITTLE_GRAMS = 1;

/**
 * A farm living day by day. Its luck hangs on the seed, the strain and the day something is started, never on who decides:
 * all policies live the same season.
 */
export class SeasonWorld {
  readonly results: SeasonRunResult[] = [];
  readonly totals: SeasonTotals = {
    started: 0,
    contaminated: 0,
    agedOut: 0,
    neverUsed: 0,
    cycles: 0,
    cultureUnits: 0,
    missedBenchDays: 0,
    cost: { containers: 0, cycles: 0, cultures: 0, chilling: 0, agedOut: 0, short: 0, belowTarget: 0 },
  };
  private readonly farm: SeasonFarm;
  private readonly luck: Luck;
  private readonly seed: number;
  private jars: SeasonJar[] = [];
  private readonly clean: (number | null)[];
  private readonly washing: { readonly day: number; readonly size: number }[] = [];
  private readonly cultureArrivals: { readonly day: number; readonly strain: number; readonly units: number }[] = [];
  private serial = 0;
  private readonly cultureBought = new Map<number, number>();
  private postponed: WantedStart[] = [];

  constructor(farm: SeasonFarm, seed: number) {
    this.farm = farm;
    this.seed = seed;
    this.luck = new Luck(seed, 1);
    this.clean = farm.start.sizes.map(({ cleanEmpty }) => cleanEmpty);
    this.jars = farm.start.stock.map((container) => this.firstJar(container));
  }

  /** Lives one week, from its morning on. */
  liveWeek(from: number, decision: WeekDecision): void {
    for (const { strainId, units } of decision.cultures) this.buyCulture(from, strainId, units);
    this.postponed = [];
    for (let day = from; day < from + 7; day += 1) this.liveDay(day, decision);
  }

  end(): void {
    for (const jar of this.jars) {
      if (jar.generation === 0 || jar.madeDay < 0) continue;
      if (jar.failDay === null && jar.state !== 'opened') this.totals.neverUsed += 1;
    }
  }

  /** What the farm sees on the morning of a day. */
  morning(day: number, horizonDays: number): Morning {
    this.lookAround(day);
    const { start, runs } = this.farm;
    const asOf = this.dateOf(day);
    const seen: FarmSituation = {
      ...start,
      asOf,
      horizonDays,
      sizes: start.sizes.map((size, place): ContainerSize => ({ ...size, cleanEmpty: this.clean[place]! })),
      strains: start.strains.map((strain, place) => this.strainAsKnown(strain, place)),
      stock: this.jars.filter((jar) => this.looksUsable(jar, day)).map((jar) => this.seenJar(jar, day)),
      runs: runs
        .filter(({ run, knownOn }) => knownOn <= asOf && run.day >= asOf && run.day <= addDays(asOf, horizonDays))
        .map(({ run }) => run),
    };
    return { seen, day, benchDays: this.benchDays(day, day + 7).filter((each) => this.preparationDay(each) >= day) };
  }

  benchDays(from: number, to: number): number[] {
    const { benchWeekdays, closedDays } = this.farm.start.rhythm;
    return Array.from({ length: to - from }, (_, place) => from + place).filter((day) => {
      const date = this.dateOf(day);
      return benchWeekdays.includes(isoWeekday(date)) && !closedDays.includes(date);
    });
  }

  /** Luck of what is started of a strain on a day, for who knows the season. */
  fateOf(strain: number, day: number): { readonly lossRate: number; readonly ripeDays: number } {
    const { lot, chance } = this.lotLuck(strain, day);
    const longer = 1 + (this.farm.turns.slowerGrowth ?? 0);
    const ripeDays = Math.max(1, (chance.daysToRipe + chance.lotDeviationDays * lot.ripening[0]!) * longer);
    return { lossRate: this.lossOf(lot.rateIn(0), day), ripeDays };
  }

  isMissed(day: number): boolean {
    return seededRandom(this.seed * 7919 + day * 31 + 5).uniform() < this.farm.missedBenchShare;
  }

  dayOf(date: CalendarDay): number {
    return dayNumber(date) - dayNumber(this.farm.start.asOf);
  }

  private dateOf(day: number): CalendarDay {
    return addDays(this.farm.start.asOf, day);
  }

  private liveDay(day: number, decision: WeekDecision): void {
    this.lookAround(day);
    const bench = this.benchDays(day, day + 1).length > 0;
    const wanted = [...this.postponed, ...decision.starts.filter((start) => start.day === day)];
    if (bench) this.chillWhatMust(day, this.placesWanted(wanted));
    if (bench && wanted.length > 0) this.bench(day, wanted);
    for (const { run } of this.farm.runs) if (this.dayOf(run.day) === day) this.feed(day, run, decision);
    this.throwAway(day);
  }

  private bench(day: number, wanted: readonly WantedStart[]): void {
    if (this.isMissed(day)) {
      this.totals.missedBenchDays += 1;
      this.postponed = [...wanted];
      return;
    }
    this.postponed = [];
    const { rhythm, sizes, costs } = this.farm.start;
    let room = rhythm.benchContainersPerDay;
    let loads = 0;
    for (const want of wanted) {
      const size = sizes.findIndex(({ id }) => id === want.sizeId);
      const strain = this.farm.start.strains.findIndex(({ id }) => id === want.strainId);
      const perCycle = Math.floor(rhythm.vesselPlaces / sizes[size]!.vesselPlaces + 1e-9);
      const inVessel = Math.floor((rhythm.cyclesPerPreparationDay - loads) * perCycle + 1e-6);
      const places = Math.floor(this.freePlaces('incubation') / sizes[size]!.shelfPlaces);
      const most = Math.min(want.containers, room, inVessel, this.clean[size] ?? Number.POSITIVE_INFINITY, places);
      const made = most <= 0 ? 0 : this.start(day, strain, size, most, want.generation);
      room -= made;
      loads += perCycle > 0 ? made / perCycle : 0;
    }
    const cycles = Math.ceil(loads - 1e-9);
    this.totals.cycles += cycles;
    this.totals.cost.cycles += cycles * costs.perCycle;
  }

  /** Inoculates as many as the mothers' grams allow; gives back how many. */
  private start(day: number, strain: number, size: number, most: number, generation: number | null): number {
    const { inoculumGramsPerContainer, lastGeneration } = this.farm.start.strains[strain]!;
    const each = inoculumGramsPerContainer * this.farm.start.sizes[size]!.inoculumFactor;
    let made = 0;
    let oldest = 0;
    for (const jar of this.mothersFor(day, strain, generation ?? lastGeneration, lastGeneration)) {
      while (made < most) {
        if (jar.gramsLeft < each - 1e-6) break;
        if (!this.open(jar, day)) break;
        jar.gramsLeft -= each;
        made += 1;
        oldest = Math.max(oldest, jar.generation);
      }
      if (made >= most) break;
    }
    if (made > 0) this.addLot(day, strain, size, made, oldest + 1);
    return made;
  }

  /** Mothers in the order they are taken: open ones, then of the oldest generation that will do, first expired first. */
  private mothersFor(day: number, strain: number, generation: number, last: number): SeasonJar[] {
    const able = this.jars.filter(
      (jar) => jar.strain === strain && jar.generation < Math.min(generation, last) && this.isReady(jar, day),
    );
    const others = this.jars.filter(
      (jar) => jar.strain === strain && jar.generation >= generation && jar.generation < last && this.isReady(jar, day),
    );
    return [...able.sort(byMothering), ...others.sort(byMothering)];
  }

  private addLot(day: number, strain: number, size: number, count: number, generation: number): void {
    const { lot, chance } = this.lotLuck(strain, day);
    const { lossRate } = this.fateOf(strain, day);
    const lost = lostContainers(count, lossRate, lot.uniformIn(0));
    const random = seededRandom(this.seed * 65_537 + day * 131 + strain * 17 + 3);
    const stretch = Math.max(0.2, 1 + chance.lifeDeviation * lot.life[0]!);
    const { warmLifeDays, coldLifeDays } = this.farm.start.strains[strain]!;
    const longer = 1 + (this.farm.turns.slowerGrowth ?? 0);
    const middle = (chance.daysToRipe + chance.lotDeviationDays * lot.ripening[0]!) * longer;
    for (let place = 0; place < count; place += 1) {
      this.serial += 1;
      const days = Math.max(1, middle + chance.containerDeviationDays * random.normal() * longer);
      const failed = place < lost;
      this.jars.push({
        ...fresh(`J${this.serial}`, strain, generation, size, day),
        ripeDay: Math.ceil(day + days - 0.5),
        failDay: failed ? day + Math.ceil(random.uniform() * chance.daysToRipe * 0.95) : null,
        hidden: failed && random.uniform() < (this.farm.turns.missedMould ?? 0),
        warmLife: warmLifeDays * stretch,
        coldLife: coldLifeDays * stretch,
        gramsLeft: this.farm.start.sizes[size]!.ripeGrams,
      });
    }
    this.totals.started += count;
    this.totals.cost.containers += count * this.farm.start.costs.perContainerStarted;
    if (this.clean[size] !== null) this.clean[size]! -= count;
  }

  private lotLuck(strain: number, day: number) {
    const chance = this.chanceOf(strain);
    const name = `${chance.strainId}|${day}`;
    const ties = {
      lot: name,
      grainBatch: `${day}`,
      cycle: `${day}|0`,
      mother: `${chance.strainId}|${Math.floor(day / 28)}`,
    };
    return { lot: this.luck.lot(chance, ties), chance };
  }

  private chanceOf(strain: number): StrainChance {
    const { id } = this.farm.start.strains[strain]!;
    return this.farm.believed.strains.find(({ strainId }) => strainId === id)!;
  }

  private lossOf(rate: number, day: number): number {
    const { lossDrift = 0, badBatchShare = 0, badBatchLoss = 0 } = this.farm.turns;
    const drifted = rate * (1 + lossDrift * Math.sin((2 * Math.PI * day) / 364));
    const bad = badBatchShare > 0 && seededRandom(this.seed * 104_729 + day * 7 + 1).uniform() < badBatchShare;
    return Math.min(0.999, Math.max(0, bad ? drifted + (1 - drifted) * badBatchLoss : drifted));
  }

  /** The farm goes round: contaminated jars are found and go, ripe ones are seen ripe, washed ones come back. */
  private lookAround(day: number): void {
    const stay: SeasonJar[] = [];
    for (const jar of this.jars) {
      if (jar.failDay !== null && jar.failDay <= day && !jar.hidden && jar.state === 'incubating') {
        this.totals.contaminated += 1;
        this.wash(jar, day);
        continue;
      }
      if (jar.state === 'incubating') {
        jar.seenCleanDay = day;
        if (jar.ripeDay <= day) {
          jar.state = 'ripe';
          jar.seenRipeDay = Math.max(jar.ripeDay, 0);
        }
      }
      stay.push(jar);
    }
    this.jars = stay;
    for (let place = this.washing.length - 1; place >= 0; place -= 1) {
      const { day: due, size } = this.washing[place]!;
      if (due > day) continue;
      this.washing.splice(place, 1);
      if (this.clean[size] !== null) this.clean[size]! += 1;
    }
    for (const arrival of this.cultureArrivals.filter((each) => each.day === day)) this.addCulture(day, arrival);
    const rest = this.cultureArrivals.filter((each) => each.day > day);
    this.cultureArrivals.splice(0, this.cultureArrivals.length, ...rest);
  }

  /** On a bench day what would not keep until the next goes into the cold, then more while starts need its place. */
  private chillWhatMust(day: number, placesWanted: number): void {
    const next = this.benchDays(day + 1, day + 8)[0] ?? day + 7;
    const ripe = this.jars
      .filter((jar) => jar.state === 'ripe' && jar.generation > 0 && this.farm.start.strains[jar.strain]!.mayBeChilled)
      .sort((one, other) => one.ripeDay - other.ripeDay);
    for (const jar of ripe) {
      const { warmLifeDays } = this.farm.start.strains[jar.strain]!;
      const known = (jar.seenRipeDay ?? jar.ripeDay) + 0.85 * warmLifeDays;
      const must = known < next;
      if (!must && this.freePlaces('incubation') >= placesWanted) continue;
      if (this.freePlaces('cold') < this.farm.start.sizes[jar.size]!.shelfPlaces) return;
      jar.state = 'chilled';
      jar.chilledDay = day;
      this.totals.cost.chilling += this.farm.start.costs.perContainerChilled ?? 0.1;
    }
  }

  private placesWanted(wanted: readonly WantedStart[]): number {
    const { sizes } = this.farm.start;
    return wanted.reduce((sum, { sizeId, containers }) => {
      return sum + containers * (sizes.find(({ id }) => id === sizeId)?.shelfPlaces ?? 1);
    }, 0);
  }

  private freePlaces(kind: 'incubation' | 'cold'): number {
    const rooms = this.farm.start.rooms.filter((room) => room.kind === kind);
    if (rooms.length === 0) return kind === 'incubation' ? Number.POSITIVE_INFINITY : 0;
    const places = rooms.reduce((sum, room) => sum + room.places, 0);
    const states = kind === 'cold' ? ['chilled'] : ['incubating', 'ripe'];
    const taken = this.jars
      .filter((jar) => jar.generation > 0 && states.includes(jar.state))
      .reduce((sum, jar) => sum + this.farm.start.sizes[jar.size]!.shelfPlaces, 0);
    return places - taken;
  }

  /** First expired first out, as the farm knows expiry; the strain's mother reserve stays. */
  private feed(day: number, run: SeasonFarm['runs'][number]['run'], decision: WeekDecision): void {
    const upTo = Math.min(run.targetGrams, decision.gramsForRun.get(run.id) ?? run.targetGrams);
    let grams = 0;
    for (const strainId of run.strainIds) {
      const strain = this.farm.start.strains.findIndex(({ id }) => id === strainId);
      if (strain >= 0) grams += this.take(day, strain, upTo - grams);
    }
    const covered = grams >= run.minGrams - LITTLE_GRAMS;
    const { costs } = this.farm.start;
    const weight = 1 / Math.max(1, run.priority);
    this.totals.cost.short += Math.max(0, run.minGrams - grams) * weight * costs.perGramShort;
    this.totals.cost.belowTarget +=
      Math.max(0, run.targetGrams - Math.max(grams, run.minGrams)) * weight * costs.perGramBelowTarget;
    const { id, minGrams, targetGrams } = run;
    this.results.push({ run: id, day, grams, minGrams, targetGrams, covered });
  }

  private take(day: number, strain: number, wanted: number): number {
    const able = this.jars
      .filter((jar) => jar.strain === strain && jar.generation > 0 && !jar.keptAsMother && this.isReady(jar, day))
      .sort(
        (one, other) =>
          Number(other.state === 'opened') - Number(one.state === 'opened') ||
          this.knownUntil(one) - this.knownUntil(other),
      );
    const reserve = this.reserveOf(strain, day);
    let grams = 0;
    for (const jar of able) {
      if (grams >= wanted - LITTLE_GRAMS) break;
      if (reserve.has(jar)) continue;
      if (!this.open(jar, day)) continue;
      const part = Math.min(jar.gramsLeft, wanted - grams);
      jar.gramsLeft -= part;
      grams += part;
    }
    return grams;
  }

  /** The youngest ripe jars, as many as the strain keeps as mothers. */
  private reserveOf(strain: number, day: number): Set<SeasonJar> {
    const { motherReserve, lastGeneration } = this.farm.start.strains[strain]!;
    const mothers = this.jars
      .filter((jar) => jar.strain === strain && jar.generation > 0 && jar.generation < lastGeneration)
      .filter((jar) => this.isReady(jar, day) && jar.state !== 'opened')
      .sort((one, other) => one.generation - other.generation || this.knownUntil(other) - this.knownUntil(one));
    return new Set(mothers.slice(0, motherReserve));
  }

  private knownUntil(jar: SeasonJar): number {
    const { warmLifeDays, coldLifeDays } = this.farm.start.strains[jar.strain]!;
    if (jar.state === 'opened') return jar.openUntil;
    return jar.chilledDay === null ? (jar.seenRipeDay ?? jar.ripeDay) + warmLifeDays : jar.chilledDay + coldLifeDays;
  }

  private isReady(jar: SeasonJar, day: number): boolean {
    return jar.state !== 'incubating' && jar.gramsLeft > LITTLE_GRAMS && goodUntil(jar) >= day && jar.madeDay < day;
  }

  /** False when it turns out to be contaminated: it goes. */
  private open(jar: SeasonJar, day: number): boolean {
    if (jar.state === 'opened' || jar.generation === 0) return true;
    if (jar.failDay !== null) {
      jar.gramsLeft = 0;
      this.totals.contaminated += 1;
      return false;
    }
    jar.openUntil = day + this.farm.start.rhythm.openedLifeDays;
    jar.openedDay = day;
    jar.state = 'opened';
    return true;
  }

  private throwAway(day: number): void {
    const { costs } = this.farm.start;
    this.jars = this.jars.filter((jar) => {
      const empty = jar.gramsLeft <= LITTLE_GRAMS && jar.state !== 'incubating';
      const old = jar.state !== 'incubating' && goodUntil(jar) <= day;
      if (!empty && !old) return true;
      if (old && !empty && jar.generation > 0) {
        this.totals.cost.agedOut += jar.gramsLeft * costs.perGramAgedOut;
        if (jar.state !== 'opened' && jar.madeDay >= 0) this.totals.agedOut += 1;
      }
      if (jar.generation > 0) this.wash(jar, day);
      return false;
    });
  }

  private wash(jar: SeasonJar, day: number): void {
    this.washing.push({ day: day + 1 + this.farm.start.rhythm.washingDays, size: jar.size });
  }

  private buyCulture(day: number, strainId: string, units: number): void {
    const strain = this.farm.start.strains.findIndex(({ id }) => id === strainId);
    const { culture } = this.strainAsKnown(this.farm.start.strains[strain]!, strain);
    if (culture === null) return;
    const had = Math.min(units, culture.unitsAvailable ?? Number.POSITIVE_INFINITY);
    if (had <= 0) return;
    this.cultureBought.set(strain, (this.cultureBought.get(strain) ?? 0) + had);
    this.totals.cultureUnits += had;
    this.totals.cost.cultures += had * culture.costPerUnit;
    this.cultureArrivals.push({ day: day + culture.leadDays, strain, units: had });
  }

  private addCulture(day: number, { strain, units }: { readonly strain: number; readonly units: number }): void {
    const { culture, inoculumGramsPerContainer, cultureLifeDays = 180 } = this.farm.start.strains[strain]!;
    for (let unit = 0; unit < units; unit += 1) {
      this.serial += 1;
      this.jars.push({
        ...fresh(`C${this.serial}`, strain, 0, 0, day - 1),
        ripeDay: day,
        warmLife: cultureLifeDays,
        state: 'ripe',
        seenRipeDay: day,
        gramsLeft: (culture?.containersPerUnit ?? 1) * inoculumGramsPerContainer,
      });
    }
  }

  private strainAsKnown(strain: StrainProfile, place: number): StrainProfile {
    const { cultureUnits } = this.farm.turns;
    if (cultureUnits === undefined || strain.culture === null) return strain;
    const left = Math.max(0, cultureUnits - (this.cultureBought.get(place) ?? 0));
    return { ...strain, culture: { ...strain.culture, unitsAvailable: left } };
  }

  private looksUsable(jar: SeasonJar, day: number): boolean {
    if (jar.gramsLeft <= LITTLE_GRAMS) return false;
    return jar.state === 'incubating' || this.knownUntil(jar) >= day || jar.generation === 0;
  }

  private seenJar(jar: SeasonJar, day: number): StockContainer {
    const strain = this.farm.start.strains[jar.strain]!;
    const growing = jar.state === 'incubating';
    const orNull = (at: number | null) => (at === null ? null : this.dateOf(at));
    const age = Math.max(0, Math.min(day - jar.madeDay, strain.daysToRipe));
    const survival = growing
      ? Math.round(survivalWhenClean(strain.lossRate, age, strain.daysToRipe, null) * 100) / 100
      : 1;
    return {
      code: jar.code,
      strainId: strain.id,
      generation: jar.generation,
      sizeId: this.farm.start.sizes[jar.size]!.id,
      state: jar.state,
      madeOn: this.dateOf(jar.madeDay),
      ripeOn: growing ? null : orNull(jar.seenRipeDay),
      chilledOn: orNull(jar.chilledDay),
      openedOn: orNull(jar.openedDay),
      gramsLeft: growing ? 0 : jar.gramsLeft,
      roomId: null,
      keptAsMother: jar.keptAsMother,
      survival,
    };
  }

  private firstJar(container: StockContainer): SeasonJar {
    const { start } = this.farm;
    const strain = start.strains.findIndex(({ id }) => id === container.strainId);
    const size = start.sizes.findIndex(({ id }) => id === container.sizeId);
    const { daysToRipe, warmLifeDays, coldLifeDays, cultureLifeDays = 180 } = start.strains[strain]!;
    const made = this.dayOf(container.madeOn);
    const ripe = container.ripeOn === null ? made + daysToRipe : this.dayOf(container.ripeOn);
    return {
      ...fresh(container.code, strain, container.generation, size, made),
      ripeDay: container.generation === 0 ? made : ripe,
      warmLife: container.generation === 0 ? cultureLifeDays : warmLifeDays,
      coldLife: coldLifeDays,
      keptAsMother: container.keptAsMother,
      state: container.state,
      seenRipeDay: container.state === 'incubating' ? null : container.generation === 0 ? made : ripe,
      chilledDay: container.chilledOn === null ? null : this.dayOf(container.chilledOn),
      openedDay: container.openedOn === null ? null : this.dayOf(container.openedOn),
      openUntil: container.openedOn === null ? -1 : this.dayOf(container.openedOn) + start.rhythm.openedLifeDays,
      gramsLeft: container.gramsLeft > 0 ? container.gramsLeft : start.sizes[size]!.ripeGrams,
    };
  }

  private preparationDay(benchDay: number): number {
    return benchDay - this.farm.start.rhythm.preparationLeadDays;
  }
}

function fresh(code: string, strain: number, generation: number, size: number, madeDay: number): SeasonJar {
  return {
    code,
    strain,
    generation,
    size,
    madeDay,
    ripeDay: madeDay,
    failDay: null,
    hidden: false,
    warmLife: 0,
    coldLife: 0,
    keptAsMother: false,
    state: 'incubating',
    gramsLeft: 0,
    seenCleanDay: null,
    seenRipeDay: null,
    chilledDay: null,
    openedDay: null,
    openUntil: -1,
  };
}

function byMothering(one: SeasonJar, other: SeasonJar): number {
  return (
    Number(other.state === 'opened') - Number(one.state === 'opened') ||
    other.generation - one.generation ||
    goodUntil(one) - goodUntil(other)
  );
}
