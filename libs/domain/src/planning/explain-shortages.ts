import { addDays } from '../calendar/calendar-day.js';
import { type AcceptedRun, type AcceptedSituation, type AcceptedStrain, containersOn } from './accepted-situation.js';
import type { FarmSearch } from './farm-search.js';
import { LimitProbe } from './limit-probe.js';
import type { BindingLimit } from './plan.js';
import { earliestMotherDays } from './start-options.js';
import type { BenchSlot } from './timeline.js';

/** Less than this is not worth a sentence. */
const TELLING_G = 1;

/**
 * For each run below its target, what keeps it there and the smallest thing that would lift it. Time and mothers can be
 * told from the calendar; limits that several runs share are found by trying what would be started without them.
 * @param missing grams each run lacks of its target
 */
export function explainShortages(farm: FarmSearch, missing: readonly number[]): Map<number, BindingLimit> {
  const { situation, slots } = farm;
  const limits = new Map<number, BindingLimit>();
  const probe = new LimitProbe(farm);
  for (const run of situation.runs) {
    const grams = missing[run.index]!;
    if (grams <= TELLING_G) continue;
    const limit = noWayInTime(situation, slots, run) ?? probe.bindingLimit(run.index) ?? nothingBetterFound(grams);
    limits.set(run.index, limit);
  }
  return limits;
}

/** Why nothing that is started can reach the run, or null when something can. */
function noWayInTime(situation: AcceptedSituation, slots: readonly BenchSlot[], run: AcceptedRun): BindingLimit | null {
  const strains = run.strains.map((index) => situation.strains[index]!);
  const reasons = strains.map((strain) => whyTooLate(situation, slots, strain, run));
  // With several strains allowed, one that works is enough; the first is the one to speak of.
  return reasons.every((reason) => reason !== null) ? (reasons[0] ?? null) : null;
}

function whyTooLate(
  situation: AcceptedSituation,
  slots: readonly BenchSlot[],
  strain: AcceptedStrain,
  run: AcceptedRun,
): BindingLimit | null {
  if (slots.length === 0)
    return { kind: 'bench', where: null, message: 'There is no bench day on which spawn could be started for it.' };
  const { rhythm } = situation;
  if (slots.every(({ day }) => containersOn(rhythm, day) < 1))
    return { kind: 'bench', where: null, message: 'The bench takes no container at all.' };
  if (rhythm.cyclesPerPreparationDay < 1 || situation.sizes.every((size) => size.perCycle < 1)) {
    return { kind: 'steriliser', where: null, message: 'The steriliser takes no container at all.' };
  }
  const mothers = earliestMotherDays(situation, strain, slots).slice(0, strain.lastGeneration);
  const firstMother = Math.min(...mothers);
  if (firstMother === Number.POSITIVE_INFINITY) return withoutMother(situation, strain);
  const first = slots.find((slot) => slot.day >= firstMother);
  if (!first)
    return { kind: 'time', where: null, message: `No bench day comes after the first mother of ${strain.id} is ripe.` };
  const ripe = first.day + strain.daysToRipe;
  return ripe > run.lastDay ? ripeTooLate(situation, strain, run, ripe) : null;
}

function withoutMother(situation: AcceptedSituation, strain: AcceptedStrain): BindingLimit {
  const tooOld = situation.containers.some((container) => container.strain === strain.index);
  if (tooOld) {
    const message = `Everything on hand of ${strain.id} is of its last generation (${strain.lastGeneration}) and makes no more spawn; a younger mother or a new culture would.`;
    return { kind: 'generation', where: strain.id, message };
  }
  const message = `There is no mother and no culture of ${strain.id}; one container of it would make spawn.`;
  return { kind: 'mothers', where: strain.id, message };
}

function ripeTooLate(
  situation: AcceptedSituation,
  strain: AcceptedStrain,
  run: AcceptedRun,
  ripe: number,
): BindingLimit {
  const day = addDays(situation.asOf, ripe);
  const late = ripe - run.lastDay;
  const message = `New spawn of ${strain.id} is ripe on ${day} at the earliest; the run would have to wait ${late} ${late === 1 ? 'day' : 'days'} more.`;
  return { kind: 'time', where: day, message };
}

/** No limit stands in the way: all that was tried costs more than it brings. */
function nothingBetterFound(missing: number): BindingLimit {
  const grams = Math.round(missing);
  const message = `No way was found to make the last ${grams} g for less than they are worth; one may exist.`;
  return { kind: 'cost', where: null, message };
}
