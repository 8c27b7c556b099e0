import type { DemoIds } from './demo-ids.js';
import type { DemoFarm } from './demo-plan.js';
import type { PlaceOnShelf, ShelfPlaces } from './shelf-places.js';
import { isUsable, type StoryJar, type StoryStrain } from './story-jars.js';
import type { StoryLog } from './story-log.js';
import type { StoryRandom } from './story-random.js';

type NewStoryJar = Pick<
  StoryJar,
  'lotId' | 'strain' | 'generation' | 'madeOn' | 'spoilsOn' | 'ripensOn' | 'isPlate' | 'leftG'
>;

/** What every part of the story works on. */
export class StoryWorld {
  readonly plan: DemoFarm;
  readonly strains: readonly StoryStrain[];
  readonly ids: DemoIds;
  readonly random: StoryRandom;
  readonly log: StoryLog;
  readonly warm: ShelfPlaces;
  readonly cold: ShelfPlaces;
  /** On the farm now; what is gone leaves the list. */
  jars: StoryJar[] = [];
  clean: number;
  emptiedToday = 0;
  /** Blanks on the warm shelves, each until it has been looked at for three weeks. */
  blankPlaces: { readonly jarId: string; readonly place: PlaceOnShelf; readonly until: number }[] = [];
  readonly #lastDay: number;

  constructor(
    plan: DemoFarm,
    strains: readonly StoryStrain[],
    ids: DemoIds,
    random: StoryRandom,
    log: StoryLog,
    warm: ShelfPlaces,
    cold: ShelfPlaces,
    lastDay: number,
  ) {
    this.#lastDay = lastDay;
    this.plan = plan;
    this.strains = strains;
    this.ids = ids;
    this.random = random;
    this.log = log;
    this.warm = warm;
    this.cold = cold;
    this.clean = plan.cleanJars;
  }

  isLastDay(day: number): boolean {
    return day === this.#lastDay;
  }

  of(strain: StoryStrain): StoryJar[] {
    return this.jars.filter((jar) => jar.strain === strain);
  }

  usableFor(strain: StoryStrain, today: number, mothers: boolean): StoryJar[] {
    return this.of(strain).filter((jar) => isUsable(jar, today, this.plan.openedLifeDays) && jar.isMother === mothers);
  }

  /** Grams are taken; a jar is open from its first. */
  take(jar: StoryJar, massG: number, day: number): void {
    jar.leftG -= massG;
    jar.openedOn ??= day;
    // A jar whose last gram is drawn counts as emptied by that entry.
    if (jar.leftG <= 0) this.takeAway(jar);
  }

  /** How many days before the story's end a day lies. */
  daysAgo(day: number): number {
    return this.#lastDay - day;
  }

  /** Weekly grams of spawn the strain's runs ask for. */
  weeklyG(strain: StoryStrain): number {
    return strain.runWeekdays.length * strain.substrateKg * 1000 * this.plan.spawnRate;
  }

  takeAway(jar: StoryJar): void {
    jar.gone = true;
    if (jar.place) (jar.cold ? this.cold : this.warm).giveBack(jar.place);
    this.jars = this.jars.filter((other) => other !== jar);
    if (!jar.isPlate) this.emptiedToday += 1;
  }

  newJar(jar: NewStoryJar): StoryJar {
    const place: PlaceOnShelf | null = jar.isPlate ? null : (this.warm.take() ?? null);
    const made: StoryJar = {
      ...jar,
      id: this.random.uuid(),
      place,
      cold: false,
      seenRipe: false,
      isMother: false,
      chilledOn: null,
      openedOn: null,
      forgotten: false,
      gone: false,
    };
    this.jars.push(made);
    return made;
  }
}
