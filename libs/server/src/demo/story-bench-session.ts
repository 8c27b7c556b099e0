import { isoWeekday } from '@jarfold/domain';
import type { StoryJar, StoryStrain } from './story-jars.js';
import type { StoryWorld } from './story-world.js';

/** Grams of agar on a plate, and what goes into one first-generation jar. */
const PLATE_G = 30;
export const PLATE_WEDGE_G = 6;
const CULTURE_EVERY_DAYS = 42;
const JARS_PER_LOT = 12;
const LAST_GENERATION = 3;

interface Wanted {
  readonly strain: StoryStrain;
  readonly mothers: readonly { readonly jar: StoryJar; readonly massG: number }[];
  readonly generation: number;
  readonly count: number;
}

interface Load {
  readonly cycleId: string;
  readonly grainBatchId: string;
  left: number;
}

/** Preparation days and bench days: grain, steriliser, inoculation, and new cultures from outside. */
export class BenchSession {
  readonly #world: StoryWorld;
  #heldShort = false;
  #badMotherId: string | null = null;
  #slowLotMade = false;

  constructor(world: StoryWorld) {
    this.#world = world;
  }

  /** The day before the story: clean jars are counted and the first spawn is bought in. */
  openTheFarm(day: number): void {
    const { log, plan, ids } = this.#world;
    log.write(day, 8, 'containers_counted', { sizeId: ids.jarSizeId, cleanEmpty: plan.cleanJars });
    for (const strain of this.#world.strains) {
      const bought = Math.max(4, Math.round((this.#world.weeklyG(strain) * 2) / plan.jarRipeG));
      this.#receive(day, strain, bought, 1);
      this.#receivePlates(day, strain);
    }
  }

  onDay(day: number): void {
    const weekday = isoWeekday(this.#world.log.day(day));
    for (const [at, strain] of this.#world.strains.entries()) {
      if ((day + at * 9) % CULTURE_EVERY_DAYS === 0) this.#receivePlates(day, strain);
    }
    if (!this.#world.plan.benchWeekdays.includes(weekday)) return;
    const wanted = this.#whatToStart(day);
    const count = wanted.reduce((sum, { count }) => sum + count, 0);
    if (count > 0) this.#inoculate(day, wanted, this.#prepare(day - 1, count));
  }

  #receive(day: number, strain: StoryStrain, count: number, generation: number): void {
    const { plan, ids, log, random } = this.#world;
    const lotId = random.uuid();
    const jars = Array.from({ length: count }, (_, at) => {
      const jar = this.#world.newJar({
        lotId,
        strain,
        generation,
        madeOn: day,
        spoilsOn: null,
        ripensOn: day,
        isPlate: false,
        leftG: plan.jarRipeG,
      });
      jar.seenRipe = true;
      jar.isMother = at < 2;
      return jar;
    });
    log.write(day, 9, 'received', {
      lotId,
      strainId: strain.id,
      sizeId: ids.jarSizeId,
      generation,
      container: 'jar',
      carrier: 'grain',
      supplier: 'bought in',
      jars: jars.map((jar) => ({ id: jar.id, massG: jar.leftG, ...(jar.place ? { place: jar.place } : {}) })),
    });
    log.write(day, 9, 'mother_kept', { jarIds: jars.slice(0, 2).map(({ id }) => id) });
  }

  #receivePlates(day: number, strain: StoryStrain): void {
    const { ids, log, random } = this.#world;
    const lotId = random.uuid();
    const plates = [0, 1].map(() => {
      const plate = this.#world.newJar({
        lotId,
        strain,
        generation: 0,
        madeOn: day,
        spoilsOn: null,
        ripensOn: day,
        isPlate: true,
        leftG: PLATE_G,
      });
      plate.seenRipe = true;
      plate.isMother = true;
      return plate;
    });
    log.write(day, 10, 'received', {
      lotId,
      strainId: strain.id,
      sizeId: ids.plateSizeId,
      generation: 0,
      container: 'plate',
      carrier: 'agar',
      supplier: 'culture bank of the demo',
      jars: plates.map(({ id }) => ({ id, massG: PLATE_G })),
    });
  }

  /** Fills up each strain's pipeline, the neediest first, within bench, vessel, clean jars and shelf. */
  #whatToStart(day: number): Wanted[] {
    const { plan, warm, clean } = this.#world;
    const blanks = plan.cyclesPerPreparationDay;
    let room = Math.min(
      plan.jarsPerBenchDay,
      plan.vesselPlaces * plan.cyclesPerPreparationDay - blanks,
      clean - blanks,
      warm.free - blanks,
    );
    const wanted: Wanted[] = [];
    const byNeed = this.#world.strains
      .map((strain) => ({ strain, missing: this.#missing(strain) }))
      .sort((a, b) => b.missing - a.missing);
    for (const { strain, missing } of byNeed) {
      for (const part of this.#fromMothers(strain, day, Math.min(room, missing))) {
        wanted.push(part);
        room -= part.count;
      }
    }
    return wanted;
  }

  #missing(strain: StoryStrain): number {
    const { plan } = this.#world;
    const weekly = this.#world.weeklyG(strain) / plan.jarRipeG / (1 - strain.lossRate);
    const target = Math.ceil(weekly * (strain.daysToRipe / 7 + (strain.mayBeChilled ? 1.8 : 1)));
    const inHand = this.#world.of(strain).filter((jar) => !jar.isPlate && !jar.isMother).length;
    return Math.max(0, Math.min(Math.ceil(weekly * 0.8), target - inHand));
  }

  /** Enough mothers until the next ones are ripe and two to spare, those still growing included. */
  #mothersMissing(strain: StoryStrain): number {
    const { plan } = this.#world;
    const weekly = this.#world.weeklyG(strain) / plan.jarRipeG / (1 - strain.lossRate);
    const weeks = strain.daysToRipe / 7 + 2;
    const wanted = Math.ceil((weekly * weeks * strain.inoculumG) / plan.jarRipeG) + 2;
    const kept = this.#world.of(strain).filter(({ isPlate, isMother }) => isMother && !isPlate).length;
    return Math.max(0, wanted - kept);
  }

  #fromMothers(strain: StoryStrain, day: number, count: number): Wanted[] {
    const parts: Wanted[] = [];
    const mothers = this.#world.usableFor(strain, day, true).filter(({ generation }) => generation < LAST_GENERATION);
    const jarMothers = mothers.filter(({ isPlate }) => !isPlate);
    let left = count;
    const plate = mothers.find(({ isPlate, leftG }) => isPlate && leftG >= PLATE_WEDGE_G);
    if (plate && left > 0 && jarMothers.filter(({ generation }) => generation === 1).length < 2) {
      const made = Math.min(left, 2, Math.floor(plate.leftG / PLATE_WEDGE_G));
      parts.push({ strain, generation: 1, count: made, mothers: [{ jar: plate, massG: made * PLATE_WEDGE_G }] });
      left -= made;
    }
    for (const jar of jarMothers.sort((a, b) => a.generation - b.generation || a.ripensOn - b.ripensOn)) {
      const made = Math.min(left, JARS_PER_LOT, Math.floor(jar.leftG / strain.inoculumG));
      if (made <= 0) continue;
      parts.push({
        strain,
        generation: jar.generation + 1,
        count: made,
        mothers: [{ jar, massG: made * strain.inoculumG }],
      });
      left -= made;
    }
    return parts;
  }

  /** Grain and steriliser on the preparation day; the jars are ready on the bench day. */
  #prepare(day: number, count: number): Load[] {
    const { log, random, ids, plan } = this.#world;
    // One place of each cycle goes to its blank.
    const cycles = Math.ceil(count / (plan.vesselPlaces - 1));
    const total = count + cycles;
    const grainBatchId = random.uuid();
    const dryGrainG = Math.round(total * plan.jarMl * 0.75 * 0.35);
    log.write(day - 1, 17, 'grain_soaked', { grainBatchId, grain: 'rye', dryGrainG, waterG: dryGrainG * 2 });
    log.write(day, 7, 'grain_simmered', { grainBatchId, simmerMin: random.whole(12, 16) });
    log.write(day, 7.6, 'grain_drained', { grainBatchId });
    log.write(day, 9, 'grain_rested', {
      grainBatchId,
      moistureShare: Math.round(random.around(0.5, 0.012) * 1000) / 1000,
    });
    log.write(day, 10, 'grain_filled', { grainBatchId, fills: [{ sizeId: ids.jarSizeId, count: total }] });
    this.#world.clean -= total;
    return Array.from({ length: cycles }, (_, at) =>
      this.#runCycle(day, at, grainBatchId, Math.min(plan.vesselPlaces, total - at * plan.vesselPlaces)),
    );
  }

  #runCycle(day: number, at: number, grainBatchId: string, jars: number): Load {
    const { log, random, ids, plan } = this.#world;
    const cycleId = random.uuid();
    const start = 10.5 + at * 3.5;
    const pressure = plan.method === 'pressure';
    const reading = pressure
      ? { temperatureC: Math.round(random.around(121, 0.4) * 10) / 10, gaugePressureKpa: 103 }
      : { temperatureC: 99.5 };
    log.write(day, start, 'cycle_started', {
      cycleId,
      method: plan.method,
      steriliser: 'the pot',
      loads: [{ sizeId: ids.jarSizeId, count: jars, grainBatchId }],
    });
    log.write(day, start + 0.7, 'cycle_held', { cycleId, ...reading });
    log.write(day, start + 2.3, 'cycle_ended', {
      cycleId,
      ...reading,
      holdMin: this.#holdMin(day, at, pressure),
    });
    log.write(day, start + 3.2, 'cycle_cooled', { cycleId, temperatureC: random.whole(26, 31) });
    return { cycleId, grainBatchId, left: jars };
  }

  /** One cycle was let off too soon: the first on or after its day. */
  #holdMin(day: number, at: number, pressure: boolean): number {
    const { random, plan } = this.#world;
    const usual = pressure ? random.whole(92, 98) : random.whole(92, 100);
    const { shortHold } = plan.mishaps;
    if (shortHold === null || this.#heldShort || at > 0 || this.#world.daysAgo(day) > shortHold.daysAgo) return usual;
    this.#heldShort = true;
    return shortHold.holdMin;
  }

  #inoculate(day: number, wanted: readonly Wanted[], loads: Load[]): void {
    for (const load of loads) this.#keepBlank(day, load);
    for (const part of wanted) {
      let left = part.count;
      while (left > 0) {
        const load = loads.find((candidate) => candidate.left > 0);
        if (!load) return;
        const count = Math.min(left, load.left);
        this.#makeLot(day, part, load, count);
        load.left -= count;
        left -= count;
      }
    }
  }

  #keepBlank(day: number, load: Load): void {
    const { log, random, ids, warm } = this.#world;
    if (load.left === 0) return;
    load.left -= 1;
    const place = warm.take();
    if (!place) return;
    const jarId = random.uuid();
    log.write(day, 9, 'blanks_kept', {
      lotId: random.uuid(),
      sizeId: ids.jarSizeId,
      cycleId: load.cycleId,
      grainBatchId: load.grainBatchId,
      jars: [{ id: jarId, place }],
    });
    this.#world.blankPlaces.push({ jarId, place, until: day + 21 });
  }

  #makeLot(day: number, part: Wanted, load: Load, count: number): void {
    const { log, random, ids, plan } = this.#world;
    const { strain, generation, mothers } = part;
    const lotId = random.uuid();
    const share = count / part.count;
    const draws = mothers.map(({ jar, massG }) => ({ jar, massG: Math.round(massG * share) }));
    const ordinary = Math.min(0.9, strain.lossRate * Math.exp(random.around(-0.25, 0.7)));
    const lotLoss = this.#isBad(part, day) ? 0.85 : ordinary;
    const late = this.#isSlow(part, day) ? 40 : 0;
    const jars = Array.from({ length: count }, () => {
      const spoils = random.chance(lotLoss);
      return this.#world.newJar({
        lotId,
        strain,
        generation,
        madeOn: day,
        spoilsOn: spoils && late === 0 ? day + random.whole(4, strain.daysToRipe) : null,
        ripensOn: day + Math.max(8, Math.round(random.around(strain.daysToRipe, 1.6))) + late,
        isPlate: false,
        leftG: plan.jarRipeG,
      });
    });
    const keep =
      generation < LAST_GENERATION && late === 0 && lotLoss !== 0.85
        ? Math.min(count, this.#mothersMissing(strain))
        : 0;
    for (const jar of jars.slice(0, keep)) jar.isMother = true;
    log.write(day, 10, 'inoculated', {
      lotId,
      strainId: strain.id,
      sizeId: ids.jarSizeId,
      grainBatchId: load.grainBatchId,
      cycleId: load.cycleId,
      mothers: draws.map(({ jar, massG }) => ({ jarId: jar.id, amount: { by: 'grams', massG } })),
      jars: jars.map((jar) => ({ id: jar.id, ...(jar.place ? { place: jar.place } : {}) })),
    });
    for (const { jar, massG } of draws) this.#world.take(jar, massG, day);
  }

  /** The strain's first mother of several jars since the day of the mishap, and all that is made from her. */
  #isBad({ strain, mothers, count }: Wanted, day: number): boolean {
    const { badMother } = this.#world.plan.mishaps;
    const [mother] = mothers;
    if (badMother === null || mother === undefined || mother.jar.isPlate) return false;
    if (strain.shortCode !== badMother.strain || this.#world.daysAgo(day) > badMother.daysAgo) return false;
    if (this.#badMotherId === null && count >= 8) this.#badMotherId = mother.jar.id;
    return mother.jar.id === this.#badMotherId;
  }

  #isSlow({ strain, generation }: Wanted, day: number): boolean {
    const { slowLot } = this.#world.plan.mishaps;
    if (slowLot === null || this.#slowLotMade || strain.shortCode !== slowLot.strain || generation < 2) return false;
    if (this.#world.daysAgo(day) > slowLot.daysAgo) return false;
    this.#slowLotMade = true;
    return true;
  }
}
