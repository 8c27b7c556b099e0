import { type AnyEffect, type Change, changeKnown, create, type Effect, touch } from './effect.js';
import type { EntryOf, SizeCount } from './entry.js';
import type { EntryFacts } from './facts.js';
import { impossible, unknownThing } from './outcome.js';
import { addCounts } from './size-count.js';
import type { ContainerPool, GrainStepName, LoggedGrainBatch, SteriliserCycle } from './thing.js';

export type GrainEntry =
  | EntryOf<'grain_soaked'>
  | EntryOf<'grain_simmered'>
  | EntryOf<'grain_drained'>
  | EntryOf<'grain_rested'>
  | EntryOf<'grain_filled'>;

export const GRAIN_STEP: Readonly<Record<GrainEntry['kind'], GrainStepName>> = {
  grain_soaked: 'soaked',
  grain_simmered: 'simmered',
  grain_drained: 'drained',
  grain_rested: 'rested',
  grain_filled: 'filled',
};

/** A step of a grain batch. A farm may begin with any step: the first entry that names the grain makes the batch. */
export function grainEffects(entry: GrainEntry, facts: EntryFacts): readonly AnyEffect[] {
  const id = entry.payload.grainBatchId;
  const batch: Effect<'grainBatch'> = {
    kind: 'grainBatch',
    id,
    change: (before) => {
      const batchBefore = before ?? newBatch(entry, facts);
      return batchBefore ? { state: afterStep(batchBefore, entry) } : unknownThing({ kind: 'grainBatch', id });
    },
  };
  return entry.kind === 'grain_filled' ? [batch, ...entry.payload.fills.map(takeClean)] : [batch];
}

function newBatch({ payload, day }: GrainEntry, facts: EntryFacts): LoggedGrainBatch | undefined {
  if (payload.grain === undefined) return undefined;
  return {
    id: payload.grainBatchId,
    code: facts.code ?? payload.grainBatchId,
    grain: payload.grain,
    begunOn: day,
    dryGrainG: null,
    hydratedG: null,
    moistureShare: null,
    stepAtMs: {},
    filled: [],
    loaded: [],
  };
}

function afterStep(batch: LoggedGrainBatch, entry: GrainEntry): LoggedGrainBatch {
  const { payload } = entry;
  return {
    ...batch,
    dryGrainG: payload.dryGrainG ?? batch.dryGrainG,
    hydratedG: ('hydratedG' in payload ? payload.hydratedG : undefined) ?? batch.hydratedG,
    moistureShare: ('moistureShare' in payload ? payload.moistureShare : undefined) ?? batch.moistureShare,
    stepAtMs: { ...batch.stepAtMs, [GRAIN_STEP[entry.kind]]: entry.atMs },
    filled: entry.kind === 'grain_filled' ? addCounts(batch.filled, entry.payload.fills) : batch.filled,
  };
}

/** Clean empties are counted down, never below zero: a farm's count may be behind what stands on its shelf. */
function takeClean({ sizeId, count }: SizeCount): Effect<'pool'> {
  return changePool(sizeId, (clean) => (clean === null ? null : Math.max(0, clean - count)));
}

function changePool(sizeId: string, clean: (before: number | null) => number | null): Effect<'pool'> {
  return {
    kind: 'pool',
    id: sizeId,
    change: (before): Change<ContainerPool> => ({
      state: { id: sizeId, cleanEmpty: clean(before?.cleanEmpty ?? null) },
    }),
  };
}

export function washedEffects({ payload }: EntryOf<'washed'>): readonly AnyEffect[] {
  return [changePool(payload.sizeId, (clean) => (clean === null ? null : clean + payload.count))];
}

export function countedEffects({ payload }: EntryOf<'containers_counted'>): readonly AnyEffect[] {
  return [changePool(payload.sizeId, () => payload.cleanEmpty)];
}

export function cycleStartedEffects(entry: EntryOf<'cycle_started'>, facts: EntryFacts): readonly AnyEffect[] {
  const { cycleId, method, steriliser, loads } = entry.payload;
  const cycle: SteriliserCycle = {
    id: cycleId,
    code: facts.code ?? cycleId,
    method,
    steriliser: steriliser ?? null,
    loads: addCounts([], loads),
    used: [],
    startedAtMs: entry.atMs,
    startedOn: entry.day,
    heldAtMs: null,
    endedAtMs: null,
    cooledAtMs: null,
    holdMin: null,
    temperatureC: null,
    gaugePressureKpa: null,
  };
  return [create('cycle', cycleId, () => cycle), ...loadedBatches(loads)];
}

function loadedBatches(loads: EntryOf<'cycle_started'>['payload']['loads']): readonly Effect<'grainBatch'>[] {
  const byBatch = new Map<string, SizeCount[]>();
  for (const { grainBatchId, sizeId, count } of loads) {
    if (grainBatchId !== undefined)
      byBatch.set(grainBatchId, [...(byBatch.get(grainBatchId) ?? []), { sizeId, count }]);
  }
  return [...byBatch].map(([id, counts]) =>
    changeKnown('grainBatch', id, (batch) => ({ state: { ...batch, loaded: addCounts(batch.loaded, counts) } })),
  );
}

export function cycleHeldEffects(entry: EntryOf<'cycle_held'>): readonly AnyEffect[] {
  return [
    changeKnown('cycle', entry.payload.cycleId, (cycle) => {
      if (endedBefore(cycle, entry.atMs)) return alreadyEnded(cycle);
      return { state: { ...withReading(cycle, entry.payload), heldAtMs: cycle.heldAtMs ?? entry.atMs } };
    }),
  ];
}

export function cycleEndedEffects(entry: EntryOf<'cycle_ended'>): readonly AnyEffect[] {
  const { cycleId, holdMin } = entry.payload;
  return [
    changeKnown('cycle', cycleId, (cycle) => {
      if (cycle.endedAtMs !== null) return alreadyEnded(cycle);
      const state = { ...withReading(cycle, entry.payload), endedAtMs: entry.atMs, holdMin: holdMin ?? cycle.holdMin };
      return { state };
    }),
  ];
}

/** Cooled says that it ended too, for a farm that logs only this. */
export function cycleCooledEffects(entry: EntryOf<'cycle_cooled'>): readonly AnyEffect[] {
  return [
    changeKnown('cycle', entry.payload.cycleId, (cycle) => ({
      state: { ...cycle, endedAtMs: cycle.endedAtMs ?? entry.atMs, cooledAtMs: cycle.cooledAtMs ?? entry.atMs },
    })),
  ];
}

function endedBefore(cycle: SteriliserCycle, atMs: number): boolean {
  return cycle.endedAtMs !== null && cycle.endedAtMs <= atMs;
}

function alreadyEnded(cycle: SteriliserCycle) {
  return impossible(
    'cycle-already-ended',
    { kind: 'cycle', id: cycle.id },
    { id: cycle.id, endedAtMs: cycle.endedAtMs },
  );
}

function withReading(
  cycle: SteriliserCycle,
  reading: { readonly temperatureC?: number | undefined; readonly gaugePressureKpa?: number | undefined },
): SteriliserCycle {
  return {
    ...cycle,
    temperatureC: reading.temperatureC ?? cycle.temperatureC,
    gaugePressureKpa: reading.gaugePressureKpa ?? cycle.gaugePressureKpa,
  };
}

/** What a new lot takes from preparation: sterile containers of its cycle; its grain batch must exist. */
export function takenFromPreparation(
  payload: {
    readonly cycleId?: string | undefined;
    readonly grainBatchId?: string | undefined;
    readonly sizeId: string;
  },
  count: number,
): readonly AnyEffect[] {
  const effects: AnyEffect[] = [];
  if (payload.grainBatchId !== undefined) effects.push(touch('grainBatch', payload.grainBatchId));
  if (payload.cycleId !== undefined) {
    const used = [{ sizeId: payload.sizeId, count }];
    effects.push(
      changeKnown('cycle', payload.cycleId, (cycle) => ({ state: { ...cycle, used: addCounts(cycle.used, used) } })),
    );
  }
  return effects;
}
