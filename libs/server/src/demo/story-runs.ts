import { type CalendarDay, type IsoWeekday, isoWeek, isoWeekday } from '@jarfold/domain';
import { byExpiry, type StoryJar, type StoryStrain } from './story-jars.js';
import type { StoryWorld } from './story-world.js';

export interface StoryRun {
  readonly id: string;
  readonly name: string;
  readonly day: CalendarDay;
  readonly strainId: string;
  readonly substrateKg: number;
  readonly done: boolean;
}

interface FruitingRun {
  readonly run: StoryRun;
  readonly dryG: number;
  readonly readyOn: number;
}

/** Dry share of the wet substrate, and what a farm of this kind gets from it. */
const DRY_SHARE = 0.35;
const EFFICIENCY = 0.72;
const SMALL_REST_G = 120;
const FLUSH_SHARES = [0.62, 0.38];

/** Bulk runs: spawn drawn first expired first out, and the harvests that follow. */
export class StoryRuns {
  readonly done: StoryRun[] = [];
  readonly #world: StoryWorld;
  readonly #fruiting: FruitingRun[] = [];

  constructor(world: StoryWorld) {
    this.#world = world;
  }

  onDay(day: number, weekday: IsoWeekday): void {
    for (const strain of this.#world.strains) {
      if (strain.runWeekdays.includes(weekday)) this.#run(day, strain);
    }
    this.#harvest(day);
  }

  /** The runs the farm intends from the day after `last` on. */
  ahead(last: number, days: number): StoryRun[] {
    const { log, strains, random, plan } = this.#world;
    const pause = plan.mishaps.forgotten;
    return Array.from({ length: days }, (_, at) => last + 1 + at).flatMap((day) =>
      strains
        .filter(({ runWeekdays }) => runWeekdays.includes(isoWeekday(log.day(day))))
        .filter(({ shortCode }) => shortCode !== pause?.strain || day > last + pause.pauseDays)
        .map((strain) =>
          this.#describe(log.day(day), strain, strain.substrateKg * (random.chance(0.2) ? 1.3 : 1), false),
        ),
    );
  }

  #describe(day: CalendarDay, strain: StoryStrain, substrateKg: number, done: boolean): StoryRun {
    return {
      id: this.#world.random.uuid(),
      name: `${strain.name} W${String(isoWeek(day).week).padStart(2, '0')}-${isoWeekday(day)}`,
      day,
      strainId: strain.id,
      substrateKg: Math.round(substrateKg),
      done,
    };
  }

  #run(day: number, strain: StoryStrain): void {
    const { log, plan, random } = this.#world;
    // Substrate is never quite what was meant, and now and then a run falls out.
    if (random.chance(0.04)) return;
    const run = this.#describe(log.day(day), strain, strain.substrateKg * Math.max(0.7, random.around(1, 0.1)), true);
    const draws = this.#firstExpiredFirstOut(strain, day, run.substrateKg * 1000 * plan.spawnRate);
    if (draws.length === 0) return;
    this.done.push(run);
    log.write(day, 11, 'drawn_for_run', {
      runId: run.id,
      draws: draws.map(({ jar, massG }) => ({ jarId: jar.id, amount: { by: 'grams', massG } })),
    });
    for (const { jar, massG } of draws) this.#world.take(jar, massG, day);
    this.#fruiting.push({
      run,
      dryG: run.substrateKg * 1000 * DRY_SHARE,
      readyOn: day + random.whole(22, 28),
    });
  }

  #firstExpiredFirstOut(strain: StoryStrain, day: number, wantedG: number): { jar: StoryJar; massG: number }[] {
    const draws: { jar: StoryJar; massG: number }[] = [];
    let left = Math.round(wantedG);
    for (const jar of this.#world.usableFor(strain, day, false).sort(byExpiry(this.#world.plan.openedLifeDays))) {
      if (left <= 0) break;
      // A small rest is not worth keeping open.
      const massG = jar.leftG - left < SMALL_REST_G ? jar.leftG : left;
      draws.push({ jar, massG });
      left -= massG;
    }
    return draws;
  }

  #harvest(day: number): void {
    const { log, random } = this.#world;
    for (const { run, dryG, readyOn } of this.#fruiting) {
      const flush = readyOn === day ? 1 : readyOn + 12 === day ? 2 : 0;
      if (flush === 0) continue;
      const massG = Math.round(Math.max(0, random.around(dryG * EFFICIENCY * FLUSH_SHARES[flush - 1]!, dryG * 0.05)));
      log.write(day, 12, 'harvested', { runId: run.id, flush, massG });
    }
  }
}
