import type { AcceptedSituation } from './accepted-situation.js';
import { ProgrammeBuilder } from './linear-programme.js';
import { buildPools, type Pool } from './pools.js';
import type { Bucket, LimitRow, StartVariable, UseVariable } from './spawn-model.js';
import { type StartOption, startOptions } from './start-options.js';
import { type BenchSlot, benchSlots, handlingDays } from './timeline.js';

/** What the concerns of the model share while it is put together. */
export interface ModelDraft {
  readonly situation: AcceptedSituation;
  readonly slots: readonly BenchSlot[];
  readonly builder: ProgrammeBuilder;
  readonly starts: readonly StartVariable[];
  readonly pools: readonly Pool[];
  /** Days on which containers can be put into the cold, ascending. */
  readonly handlingDays: readonly number[];
  /** Rows "inoculum given = inoculum taken", by strain, generation of the child, and slot. */
  readonly inoculumRows: ReadonlyMap<string, number>;
  readonly buckets: Bucket[];
  readonly uses: UseVariable[];
  readonly limits: LimitRow[];
}

/** Begins a model: timeline, possible starts with their columns and inoculum rows, and pools. */
export function draftModel(situation: AcceptedSituation): ModelDraft {
  const slots = benchSlots(situation);
  const builder = new ProgrammeBuilder();
  const handling = handlingDays(situation);
  const options = startOptions(situation, slots);
  const starts = options.map((option) => ({ ...option, column: startColumn(builder, situation, option) }));
  return {
    situation,
    slots,
    builder,
    starts,
    pools: buildPools(situation, options),
    handlingDays: handling,
    inoculumRows: inoculumRows(builder, starts),
    buckets: [],
    uses: [],
    limits: [],
  };
}

/** Another number than accepted costs: containers started = accepted + more − fewer. */
function startColumn(builder: ProgrammeBuilder, { costs }: AcceptedSituation, option: StartOption): number {
  const { fewest: lower, most: upper, accepted, changeCost } = option;
  const column = builder.column({ cost: costs.perContainerStarted, lower, upper, whole: true });
  if (changeCost === 0) return column;
  const more = builder.column({ cost: changeCost });
  const fewer = builder.column({ cost: changeCost });
  builder.row(accepted, accepted, [
    [column, 1],
    [more, -1],
    [fewer, 1],
  ]);
  return column;
}

/** Names the inoculum row of a strain's generation on a bench slot. */
export function inoculumKey(strain: number, generation: number, slot: number): string {
  return `${strain}|${generation}|${slot}`;
}

function inoculumRows(builder: ProgrammeBuilder, starts: readonly StartVariable[]): Map<string, number> {
  const rows = new Map<string, number>();
  for (const start of starts) {
    const key = inoculumKey(start.strain, start.generation, start.slot.index);
    const row = rows.get(key) ?? builder.row(0, 0);
    rows.set(key, row);
    builder.term(row, start.column, -start.inoculumGramsEach);
  }
  return rows;
}
