import { addDays, type CalendarDay, dayNumber, isoWeekday } from '../../calendar/calendar-day.js';
import type { StockContainer, StrainProfile } from '../../planning/situation.js';
import type { Handling } from '../policy.js';
import type { SeasonFarm } from '../season-farm.js';
import { freshJar, goodUntil, type SeasonJar } from '../season-jar.js';
import { noTotals, type SeasonTotals } from './season-totals.js';

/** Less than this is nothing. */
export const LITTLE_GRAMS = 1;

/** The farm's containers as they truly are, its clean ones, and what the season came to so far. */
export class SeasonStock {
  readonly farm: SeasonFarm;
  readonly totals: SeasonTotals = noTotals();
  jars: SeasonJar[];
  /** Clean empty containers by size; null: they do not limit. */
  readonly clean: (number | null)[];
  private readonly washing: { readonly day: number; readonly size: number }[] = [];
  private serial = 0;

  constructor(farm: SeasonFarm) {
    this.farm = farm;
    this.clean = farm.start.sizes.map(({ cleanEmpty }) => cleanEmpty);
    this.jars = farm.start.stock.map((container) => this.firstJar(container));
  }

  dayOf(date: CalendarDay): number {
    return dayNumber(date) - dayNumber(this.farm.start.asOf);
  }

  dateOf(day: number): CalendarDay {
    return addDays(this.farm.start.asOf, day);
  }

  /** Bench days from a day until before another. */
  benchDays(from: number, to: number): number[] {
    const { benchWeekdays, closedDays } = this.farm.start.rhythm;
    return Array.from({ length: to - from }, (_, place) => from + place).filter((day) => {
      const date = this.dateOf(day);
      return benchWeekdays.includes(isoWeekday(date)) && !closedDays.includes(date);
    });
  }

  strainOf(jar: SeasonJar): StrainProfile {
    return this.farm.start.strains[jar.strain]!;
  }

  nextCode(prefix: string): string {
    this.serial += 1;
    return `${prefix}${this.serial}`;
  }

  /** The farm goes round: contaminated jars are found and go, ripe ones are seen ripe, washed ones come back. */
  lookAround(day: number): void {
    this.jars = this.jars.filter((jar) => this.staysAfterLook(jar, day));
    for (let place = this.washing.length - 1; place >= 0; place -= 1) {
      const { day: due, size } = this.washing[place]!;
      if (due > day) continue;
      this.washing.splice(place, 1);
      if (this.clean[size] !== null) this.clean[size]! += 1;
    }
  }

  private staysAfterLook(jar: SeasonJar, day: number): boolean {
    if (jar.state !== 'incubating') return true;
    if (jar.failDay !== null && jar.failDay <= day && !jar.hidden) {
      this.totals.contaminated += 1;
      this.wash(jar, day);
      return false;
    }
    jar.seenCleanDay = day;
    if (jar.ripeDay <= day) {
      jar.state = 'ripe';
      jar.seenRipeDay = Math.max(jar.ripeDay, 0);
    }
    return true;
  }

  /** Ripe, not too old and not made today: it can be taken. */
  isReady(jar: SeasonJar, day: number): boolean {
    return jar.state !== 'incubating' && jar.gramsLeft > LITTLE_GRAMS && goodUntil(jar) >= day && jar.madeDay < day;
  }

  /** Until when the farm thinks a container keeps. */
  knownUntil(jar: SeasonJar): number {
    const { warmLifeDays, coldLifeDays } = this.strainOf(jar);
    if (jar.state === 'opened') return jar.openUntil;
    return jar.chilledDay === null ? (jar.seenRipeDay ?? jar.ripeDay) + warmLifeDays : jar.chilledDay + coldLifeDays;
  }

  /** False when it turns out to be contaminated: it goes. */
  open(jar: SeasonJar, day: number): boolean {
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

  freePlaces(kind: 'incubation' | 'cold'): number {
    const { rooms: all, sizes } = this.farm.start;
    const rooms = all.filter((room) => room.kind === kind);
    if (rooms.length === 0) return kind === 'incubation' ? Number.POSITIVE_INFINITY : 0;
    const places = rooms.reduce((sum, room) => sum + room.places, 0);
    const states = kind === 'cold' ? ['chilled'] : ['incubating', 'ripe'];
    const taken = this.jars
      .filter((jar) => jar.generation > 0 && states.includes(jar.state))
      .reduce((sum, jar) => sum + sizes[jar.size]!.shelfPlaces, 0);
    return places - taken;
  }

  /**
   * On a bench day what would not keep until the next goes into the cold, then more while starts need its place. With a
   * plan for it, it goes as planned, and what the plan did not foresee when its life runs out.
   */
  chillWhatMust(day: number, placesWanted: number, handling: Handling | null): void {
    const next = this.benchDays(day + 1, day + 8)[0] ?? day + 7;
    const { sizes } = this.farm.start;
    const ripe = this.jars
      .filter((jar) => jar.state === 'ripe' && jar.generation > 0 && this.strainOf(jar).mayBeChilled)
      .filter(({ code }) => (handling?.usedWarm.get(code) ?? -1) < day)
      .sort((one, other) => one.ripeDay - other.ripeDay);
    for (const jar of ripe) {
      const known = (jar.seenRipeDay ?? jar.ripeDay) + CAREFUL_SHARE * this.strainOf(jar).warmLifeDays;
      const must = known < next;
      if (!must && this.freePlaces('incubation') >= placesWanted) continue;
      if (this.freePlaces('cold') < sizes[jar.size]!.shelfPlaces) return;
      this.putInCold(day, jar);
    }
  }

  /** Chills, warms and opens what a plan says of a day, as far as it is ripe and there is room. */
  move(day: number, { moves }: Handling): void {
    for (const { day: on, kind, code } of moves) {
      if (on !== day) continue;
      const jar = this.jars.find((each) => each.code === code);
      if (!jar) continue;
      if (jar.state === 'chilled' && kind === 'warm') this.warm(day, jar);
      if (kind === 'open' && this.isReady(jar, day)) this.open(jar, day);
      const fits = this.freePlaces('cold') >= this.farm.start.sizes[jar.size]!.shelfPlaces;
      if (jar.state === 'ripe' && kind === 'chill' && fits) this.putInCold(day, jar);
    }
  }

  private putInCold(day: number, jar: SeasonJar): void {
    jar.state = 'chilled';
    jar.chilledDay = day;
    this.totals.cost.chilling += this.farm.start.costs.perContainerChilled ?? 0.1;
  }

  /** It goes on with the warm life it had left, and keeps until the day it was taken out for in any case. */
  private warm(day: number, jar: SeasonJar): void {
    const coldDays = day - (jar.chilledDay ?? day);
    const { warmLifeDays } = this.strainOf(jar);
    const least = day + KEEPS_WARMED_DAYS;
    jar.seenRipeDay = Math.max((jar.seenRipeDay ?? jar.ripeDay) + coldDays, least - warmLifeDays);
    jar.ripeDay = Math.max(jar.ripeDay + coldDays, least - jar.warmLife);
    jar.chilledDay = null;
    jar.state = 'ripe';
  }

  /** Empty and old containers go. */
  throwAway(day: number): void {
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

  /** Counts what is good at the end of the season and was never used. */
  countNeverUsed(): void {
    for (const jar of this.jars) {
      if (jar.generation === 0 || jar.madeDay < 0) continue;
      if (jar.failDay === null && jar.state !== 'opened') this.totals.neverUsed += 1;
    }
  }

  private wash(jar: SeasonJar, day: number): void {
    this.washing.push({ day: day + 1 + this.farm.start.rhythm.washingDays, size: jar.size });
  }

  private firstJar(container: StockContainer): SeasonJar {
    const { start } = this.farm;
    const strain = start.strains.findIndex(({ id }) => id === container.strainId);
    const size = start.sizes.findIndex(({ id }) => id === container.sizeId);
    const { daysToRipe, warmLifeDays, coldLifeDays, cultureLifeDays = 180 } = start.strains[strain]!;
    const made = this.dayOf(container.madeOn);
    const ripe = container.ripeOn === null ? made + daysToRipe : this.dayOf(container.ripeOn);
    return {
      ...freshJar(container.code, strain, container.generation, size, made),
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
}

/** A careful farm counts on so much of a ripe container's warm life before it chills it. */
const CAREFUL_SHARE = 0.85;
/** What is taken out of the cold keeps for the next day at least. */
const KEEPS_WARMED_DAYS = 1;
