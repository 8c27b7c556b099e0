import { addDays } from '../calendar/calendar-day.js';
import type { AcceptedStrain } from './accepted-situation.js';
import { probeLimits } from './limit-probe.js';
import type { BindingLimit } from './plan.js';
import type { RelaxedSession, RelaxedSolution } from './solver-port.js';
import type { RunVariables, SpawnModel } from './spawn-model.js';
import { earliestMotherDays } from './start-options.js';

/** Less than this is not worth a sentence. */
const TELLING_G = 1;

/**
 * For each run below its target, what keeps it there and the smallest thing that would lift it. Time and mothers can be
 * told from the calendar; limits that several runs share are found by asking the relaxed plan what it would do if it
 * could have a little more of each, at a price.
 */
export function explainShortages(
  model: SpawnModel,
  values: Float64Array,
  relaxed: RelaxedSolution,
  session: RelaxedSession,
): Map<number, BindingLimit> {
  const limits = new Map<number, BindingLimit>();
  const unexplained: RunVariables[] = [];
  for (const run of model.runs) {
    if (missingGrams(run, values) <= TELLING_G) continue;
    const plain = noWayInTime(model, run);
    if (plain) limits.set(run.run.index, plain);
    else unexplained.push(run);
  }
  const short = unexplained.filter((run) => missingGrams(run, relaxed.values) > TELLING_G);
  const probed = short.length > 0 ? probeLimits(model, short, session) : new Map<number, BindingLimit>();
  for (const run of unexplained) {
    const { index } = run.run;
    limits.set(index, probed.get(index) ?? tooDear(run, values));
  }
  return limits;
}

/** Grams a run lacks of its target. */
export function missingGrams({ short, belowTarget }: RunVariables, values: Float64Array): number {
  return values[short]! + values[belowTarget]!;
}

/** Why nothing that is started can reach the run, or null when something can. */
function noWayInTime(model: SpawnModel, { run }: RunVariables): BindingLimit | null {
  const strains = run.strains.map((index) => model.situation.strains[index]!);
  const reasons = strains.map((strain) => whyTooLate(model, strain, run));
  // With several strains allowed, one that works is enough; the first is the one to speak of.
  return reasons.every((reason) => reason !== null) ? (reasons[0] ?? null) : null;
}

function whyTooLate(model: SpawnModel, strain: AcceptedStrain, run: RunVariables['run']): BindingLimit | null {
  const { situation, slots } = model;
  if (slots.length === 0)
    return { kind: 'bench', where: null, message: 'There is no bench day on which spawn could be started for it.' };
  const { rhythm } = situation;
  if (rhythm.containersPerBenchDay < 1)
    return { kind: 'bench', where: null, message: 'The bench takes no container at all.' };
  if (rhythm.cyclesPerPreparationDay < 1 || situation.sizes.every((size) => size.perCycle < 1)) {
    return { kind: 'steriliser', where: null, message: 'The steriliser takes no container at all.' };
  }
  const mothers = earliestMotherDays(situation, strain, slots).slice(0, strain.lastGeneration);
  const firstMother = Math.min(...mothers);
  if (firstMother === Number.POSITIVE_INFINITY) return withoutMother(model, strain);
  const first = slots.find((slot) => slot.day >= firstMother);
  if (!first)
    return { kind: 'time', where: null, message: `No bench day comes after the first mother of ${strain.id} is ripe.` };
  const ripe = first.day + strain.daysToRipe;
  return ripe > run.lastDay ? ripeTooLate(model, strain, run, ripe) : null;
}

function withoutMother({ situation }: SpawnModel, strain: AcceptedStrain): BindingLimit {
  const tooOld = situation.containers.some((container) => container.strain === strain.index);
  if (tooOld) {
    const message = `Everything on hand of ${strain.id} is of its last generation (${strain.lastGeneration}) and makes no more spawn; a younger mother or a new culture would.`;
    return { kind: 'generation', where: strain.id, message };
  }
  const message = `There is no mother and no culture of ${strain.id}; one container of it would make spawn.`;
  return { kind: 'mothers', where: strain.id, message };
}

function ripeTooLate(
  { situation }: SpawnModel,
  strain: AcceptedStrain,
  run: RunVariables['run'],
  ripe: number,
): BindingLimit {
  const day = addDays(situation.asOf, ripe);
  const late = ripe - run.lastDay;
  const message = `New spawn of ${strain.id} is ripe on ${day} at the earliest; the run would have to wait ${late} ${late === 1 ? 'day' : 'days'} more.`;
  return { kind: 'time', where: day, message };
}

function tooDear(run: RunVariables, values: Float64Array): BindingLimit {
  const grams = Math.round(missingGrams(run, values));
  return {
    kind: 'cost',
    where: null,
    message: `Spawn for the last ${grams} g would cost more than the ${grams} g are worth.`,
  };
}
