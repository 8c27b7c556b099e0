import type { AcceptedSituation, AcceptedSize, AcceptedStrain } from './accepted-situation.js';
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
  /** More than this can never be of use or be made. */
  readonly most: number;
}

/**
 * Every start worth considering: mothers of the generation before can exist by then, it is ripe within the horizon, and
 * something after its ripe day can use it.
 */
export function startOptions(situation: AcceptedSituation, slots: readonly BenchSlot[]): StartOption[] {
  return situation.strains.flatMap((strain) => {
    const motherFrom = earliestMotherDays(situation, strain, slots);
    return slots.flatMap((slot) =>
      situation.sizes.flatMap((size) =>
        Array.from({ length: strain.lastGeneration }, (_, older) => older + 1)
          .filter((generation) => (motherFrom[generation - 1] ?? Number.POSITIVE_INFINITY) <= slot.day)
          .map((generation) => startOption(situation, strain, size, slot, generation))
          .filter((option) => option.most > 0),
      ),
    );
  });
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
  return { ...option, most: Math.min(mostMade(situation, size), mostUseful(situation, strain, option)) };
}

function mostMade({ rhythm }: AcceptedSituation, size: AcceptedSize): number {
  return Math.floor(Math.min(rhythm.containersPerBenchDay, size.perCycle * rhythm.cyclesPerPreparationDay, 1e6));
}

/** Containers that its own life leaves a use for. Only the last generation is bounded tightly: it is no mother. */
function mostUseful(
  situation: AcceptedSituation,
  strain: AcceptedStrain,
  option: { readonly generation: number; readonly ripeDay: number; readonly gramsEach: number },
): number {
  if (option.ripeDay > situation.horizon) return 0;
  const runs = situation.runs.filter((run) => run.strains.includes(strain.index) && run.lastDay >= option.ripeDay);
  const isMother = option.generation < strain.lastGeneration;
  if (runs.length === 0) return isMother && strain.motherReserve > 0 ? Number.POSITIVE_INFINITY : 0;
  if (isMother) return Number.POSITIVE_INFINITY;
  const life = strain.warmLifeDays + (strain.mayBeChilled ? strain.coldLifeDays : 0) + situation.rhythm.openedLifeDays;
  return runs
    .filter((run) => run.day <= option.ripeDay + life)
    .reduce((sum, run) => sum + Math.ceil(run.maxGrams / option.gramsEach - 1e-9), 0);
}
