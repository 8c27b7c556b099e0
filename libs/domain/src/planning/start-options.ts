import {
  type AcceptedSituation,
  type AcceptedSize,
  type AcceptedStandingStart,
  type AcceptedStrain,
  containersOn,
} from './accepted-situation.js';
import type { BenchSlot } from './timeline.js';

/** Containers the plan may start: one strain, generation and size on one bench day. */
export interface StartOption {
  readonly strain: number;
  readonly generation: number;
  readonly size: number;
  readonly slot: BenchSlot;
  readonly ripeDay: number;
  /** Expected ripe grams of one. */
  readonly gramsEach: number;
  readonly inoculumGramsEach: number;
  /** More than this can never be of use or be made, or is not wanted. */
  readonly most: number;
  /** Fewer than this are never started: they are prepared already, or a lead wants them. */
  readonly fewest: number;
  /** Containers whose grain is done: they take no cycle and no clean container. */
  readonly prepared: number;
  /** Containers that were accepted. */
  readonly accepted: number;
  /** Cost per container more or fewer than accepted. */
  readonly changeCost: number;
}

/**
 * Every start worth considering: mothers of the generation before can exist by then, it is ripe within the horizon, and
 * something after its ripe day can use it.
 */
export function startOptions(situation: AcceptedSituation, slots: readonly BenchSlot[]): StartOption[] {
  const standing = new Map(situation.standing.starts.map((start) => [keyOf(start, start.benchDay), start]));
  return situation.strains.flatMap((strain) => {
    const motherFrom = earliestMotherDays(situation, strain, slots);
    const runs = situation.runs.filter((run) => run.strains.includes(strain.index));
    const options: StartOption[] = [];
    // From the last generation down: what a mother is good for depends on the children that are.
    for (let generation = strain.lastGeneration; generation >= 1; generation -= 1) {
      const wants = new Wants(situation, strain, runs, inoculumByDay(situation, options, generation + 1));
      const possible = slots.filter((slot) => (motherFrom[generation - 1] ?? Number.POSITIVE_INFINITY) <= slot.day);
      for (const slot of possible) {
        for (const size of situation.sizes) {
          const start = standing.get(keyOf({ strain: strain.index, generation, size: size.index }, slot.day));
          if (start === undefined && situation.standing.nothingElse) continue;
          const option = startOption(situation, strain, size, slot, generation, wants, start ?? NOTHING_STANDS);
          if (option.most > 0) options.push(option);
        }
      }
    }
    return options.sort(bySlot);
  });
}

function bySlot(one: StartOption, other: StartOption): number {
  return one.slot.index - other.slot.index || one.size - other.size || one.generation - other.generation;
}

/** The first day on which a mother of each generation (0 up) can exist. */
export function earliestMotherDays(
  situation: AcceptedSituation,
  strain: AcceptedStrain,
  slots: readonly BenchSlot[],
): number[] {
  const never = Number.POSITIVE_INFINITY;
  const days: number[] = [];
  for (let generation = 0; generation <= strain.lastGeneration; generation += 1) {
    const onHand = situation.containers
      .filter((container) => container.strain === strain.index && container.generation === generation)
      .map((container) => container.from);
    const made =
      generation === 0 ? (strain.culture?.leadDays ?? never) : firstRipe(strain, slots, days[generation - 1]!);
    days.push(Math.min(never, made, ...onHand));
  }
  return days;
}

function firstRipe(strain: AcceptedStrain, slots: readonly BenchSlot[], motherDay: number): number {
  const slot = slots.find((each) => each.day >= motherDay);
  return slot ? slot.day + strain.daysToRipe : Number.POSITIVE_INFINITY;
}

function startOption(
  situation: AcceptedSituation,
  strain: AcceptedStrain,
  size: AcceptedSize,
  slot: BenchSlot,
  generation: number,
  wants: Wants,
  standing: Standing,
): StartOption {
  const option = {
    strain: strain.index,
    generation,
    size: size.index,
    slot,
    ripeDay: slot.day + strain.daysToRipe,
    gramsEach: size.ripeGrams * strain.survival,
    inoculumGramsEach: strain.inoculumGrams * size.inoculumFactor,
  };
  const { fewest, prepared, accepted } = standing;
  const wanted = slot.canPrepare && !situation.standing.nothingElse;
  const useful = wanted && option.ripeDay <= situation.horizon ? wants.mostUseful(option) : 0;
  const most = Math.min(Math.max(fewest, Math.min(mostMade(situation, size, slot), useful)), standing.most);
  const changeCost = slot.day <= situation.standing.until ? situation.costs.perContainerChanged : 0;
  return { ...option, most, fewest, prepared, accepted, changeCost };
}

type Standing = Pick<AcceptedStandingStart, 'fewest' | 'prepared' | 'accepted' | 'most'>;

const NOTHING_STANDS: Standing = { fewest: 0, prepared: 0, accepted: 0, most: Number.POSITIVE_INFINITY };

function keyOf({ strain, generation, size }: Omit<AcceptedStandingStart, 'benchDay' | keyof Standing>, day: number) {
  return `${day}|${strain}|${generation}|${size}`;
}

function mostMade({ rhythm }: AcceptedSituation, size: AcceptedSize, { day }: BenchSlot): number {
  return Math.floor(Math.min(containersOn(rhythm, day), size.perCycle * rhythm.cyclesPerPreparationDay, 1e6));
}

/** Grams that all that could usefully be started of a generation would take, by bench day. */
function inoculumByDay(
  { rhythm }: AcceptedSituation,
  options: readonly StartOption[],
  generation: number,
): ReadonlyMap<number, number> {
  const byDay = new Map<number, number>();
  for (const child of options) {
    if (child.generation !== generation) continue;
    const grams = Math.min(child.most, containersOn(rhythm, child.slot.day)) * child.inoculumGramsEach;
    byDay.set(child.slot.day, (byDay.get(child.slot.day) ?? 0) + grams);
  }
  return byDay;
}

/** What could have a use for containers of one strain and generation. */
class Wants {
  private readonly situation: AcceptedSituation;
  private readonly strain: AcceptedStrain;
  private readonly runs: AcceptedSituation['runs'];
  private readonly inoculum: ReadonlyMap<number, number>;

  constructor(
    situation: AcceptedSituation,
    strain: AcceptedStrain,
    runs: AcceptedSituation['runs'],
    inoculum: ReadonlyMap<number, number>,
  ) {
    this.situation = situation;
    this.strain = strain;
    this.runs = runs;
    this.inoculum = inoculum;
  }

  /**
   * Containers that its life leaves a use for: each run within it can empty so many, each bench day within it open so
   * many as mothers of all that could usefully be started then, and the reserve hold so many.
   */
  mostUseful({ generation, ripeDay, gramsEach }: Pick<StartOption, 'generation' | 'ripeDay' | 'gramsEach'>): number {
    const { situation, strain } = this;
    const canChill = strain.mayBeChilled && situation.coldPlaces > 0;
    const { openedLifeDays } = situation.rhythm;
    const until = ripeDay + strain.warmLifeDays + (canChill ? strain.coldLifeDays : 0) + openedLifeDays;
    let containers = 0;
    for (const run of this.runs) {
      if (run.lastDay >= ripeDay && run.day <= until) containers += Math.ceil(run.maxGrams / gramsEach - 1e-9);
    }
    if (generation === strain.lastGeneration) return containers;
    for (const [day, grams] of this.inoculum) {
      if (day >= ripeDay && day <= until) containers += Math.ceil(grams / gramsEach - 1e-9);
    }
    return containers + strain.motherReserve;
  }
}
