import { addDays } from '../calendar/calendar-day.js';
import { LEAST_GRAMS } from './peg-uses.js';
import type { BindingLimit } from './plan.js';
import type { LinearSolver } from './solver-port.js';
import type { SpawnModel } from './spawn-model.js';
import { earliestMotherDays } from './start-options.js';
import type { WholeFound } from './whole-solution.js';

/** For each run below its target, what keeps it there. */
export function explainShortages(
  model: SpawnModel,
  found: WholeFound,
  _solver: LinearSolver,
): Map<number, BindingLimit> {
  const limits = new Map<number, BindingLimit>();
  for (const { run, short, belowTarget } of model.runs) {
    if (found.values[short]! + found.values[belowTarget]! <= LEAST_GRAMS) continue;
    limits.set(run.index, timeOrMothers(model, run.index));
  }
  return limits;
}

function timeOrMothers(model: SpawnModel, run: number): BindingLimit {
  const { situation, slots } = model;
  const { run: wanted, choices } = model.runs[run]!;
  const strain = situation.strains[choices[0]!.strain]!;
  const mothers = earliestMotherDays(situation, strain, slots);
  const first = slots.find((slot) => mothers.slice(0, strain.lastGeneration).some((day) => day <= slot.day));
  if (!first) {
    return {
      kind: 'mothers',
      where: strain.id,
      message: `There is no mother of ${strain.id} that could make spawn for run ${wanted.id}.`,
    };
  }
  const ripe = first.day + strain.daysToRipe;
  if (ripe > wanted.lastDay) {
    const day = addDays(situation.asOf, ripe);
    return {
      kind: 'time',
      where: day,
      message: `Spawn of ${strain.id} started now is ripe on ${day} at the earliest, after run ${wanted.id}.`,
    };
  }
  return { kind: 'cost', where: null, message: `More spawn for run ${wanted.id} would cost more than it is worth.` };
}
