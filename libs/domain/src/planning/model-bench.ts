import { containersOn } from './accepted-situation.js';
import type { ModelDraft } from './model-draft.js';
import type { CycleVariable } from './spawn-model.js';
import type { BenchSlot } from './timeline.js';

/** Bench days and the steriliser: containers per session, loads that hold them, loads per preparation day. */
export function addBenchRows(draft: ModelDraft): CycleVariable[] {
  for (const slot of draft.slots) addBenchRow(draft, slot);
  const cycles = draft.slots.map((slot) => addCycles(draft, slot));
  for (const day of new Set(draft.slots.map((slot) => slot.preparationDay))) addVesselRow(draft, cycles, day);
  return cycles;
}

function addBenchRow({ builder, starts, situation, limits }: ModelDraft, slot: BenchSlot): void {
  const held = starts.filter((start) => start.slot === slot).reduce((sum, start) => sum + start.fewest, 0);
  const capacity = Math.max(containersOn(situation.rhythm, slot.day), held);
  if (!Number.isFinite(capacity)) return;
  const row = builder.row(
    Number.NEGATIVE_INFINITY,
    capacity,
    starts.filter((start) => start.slot === slot).map((start) => [start.column, 1]),
  );
  limits.push({ row, kind: 'bench', day: slot.day, subject: 'bench', capacity });
}

/**
 * Cycles are whole. Each size counts with the share of a load that one takes when the load holds nothing else, which
 * never overfills a mixed load.
 */
function addCycles({ builder, starts, situation }: ModelDraft, slot: BenchSlot): CycleVariable {
  const { costs, rhythm } = situation;
  const cost = costs.cycleCostOnDay.get(slot.preparationDay) ?? costs.perCycle;
  const column = builder.column({ cost, upper: rhythm.cyclesPerPreparationDay, whole: true });
  const row = builder.row(0, Number.POSITIVE_INFINITY, [[column, 1]]);
  for (const start of starts) {
    const { perCycle } = situation.sizes[start.size]!;
    if (start.slot !== slot || !Number.isFinite(perCycle)) continue;
    builder.term(row, start.column, -1 / perCycle);
    builder.shift(row, start.prepared / perCycle);
  }
  return { slot, column, cost };
}

function addVesselRow({ builder, situation, limits }: ModelDraft, cycles: readonly CycleVariable[], day: number): void {
  const sharing = cycles.filter((cycle) => cycle.slot.preparationDay === day);
  const capacity = situation.rhythm.cyclesPerPreparationDay;
  const row = builder.row(
    Number.NEGATIVE_INFINITY,
    capacity,
    sharing.map((cycle) => [cycle.column, 1]),
  );
  limits.push({ row, kind: 'steriliser', day, subject: 'steriliser', capacity });
}
