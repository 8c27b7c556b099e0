import type { ActionEntry, EntryKind, EntryOf } from './entry.js';
import type { EntryFacts } from './facts.js';
import type { BenchWarning, WarningCode } from './outcome.js';
import { type Placing, placings } from './placings.js';
import { GRAIN_STEP, type GrainEntry } from './preparation-effects.js';
import { countOf } from './size-count.js';
import { GRAIN_STEPS, type Jar } from './thing.js';
import type { BenchWorld } from './world.js';

type Advise<K extends EntryKind> = (world: BenchWorld, entry: EntryOf<K>, facts: EntryFacts) => readonly BenchWarning[];
type AdviceByKind = { readonly [K in ActionEntry['kind']]?: Advise<K> };

const ADVICE: AdviceByKind = {
  grain_soaked: grainAdvice,
  grain_simmered: grainAdvice,
  grain_drained: grainAdvice,
  grain_rested: grainAdvice,
  grain_filled: (world, entry) => [...grainAdvice(world, entry), ...fillAdvice(world, entry)],
  cycle_started: loadAdvice,
  cycle_ended: (world, { payload }) =>
    world.thing('cycle', payload.cycleId)?.heldAtMs === null && payload.holdMin === undefined
      ? [warning('cycle-step-missing', { missing: 'held' })]
      : [],
  cycle_cooled: (world, { payload }) =>
    world.thing('cycle', payload.cycleId)?.endedAtMs === null
      ? [warning('cycle-step-missing', { missing: 'ended' })]
      : [],
  culture_made: (_world, { payload }, facts) => codeAdvice(payload.code, facts),
  received: (world, { payload }, facts) => [
    ...codeAdvice(payload.code, facts),
    ...generationAdvice(world, payload.strainId, payload.generation),
  ],
  inoculated: inoculationAdvice,
  blanks_kept: (world, { payload }, facts) => [
    ...codeAdvice(payload.code, facts),
    ...cycleAdvice(world, payload, payload.jars.length),
  ],
  checked: checkAdvice,
  chilled: chillAdvice,
  warmed: (world, { payload, atMs }) =>
    eachJar(world, payload.jarIds, (jar) => [
      ...late(jar, jar.coldChangedAtMs, atMs),
      ...when(jar.chilledOn === null, 'not-chilled', jar),
    ]),
  moved: (world, { payload, atMs }) =>
    eachJar(
      world,
      payload.moves.map(({ jarId }) => jarId),
      (jar) => late(jar, jar.placedAtMs, atMs),
    ),
  contamination_found: (world, { payload, atMs }) => eachJar(world, payload.jarIds, (jar) => late(jar, null, atMs)),
  shaken: (world, { payload, atMs }) => eachJar(world, payload.jarIds, (jar) => late(jar, null, atMs)),
  opened: (world, { payload, atMs }) => eachJar(world, payload.jarIds, (jar) => late(jar, null, atMs)),
  mother_kept: (world, { payload, atMs }) =>
    eachJar(world, payload.jarIds, (jar) => [
      ...late(jar, jar.motherChangedAtMs, atMs),
      ...when(jar.ripeOn === null, 'mother-not-ripe', jar),
      ...when(jar.contaminatedOn !== null, 'mother-contaminated', jar),
    ]),
  mother_released: (world, { payload, atMs }) =>
    eachJar(world, payload.jarIds, (jar) => late(jar, jar.motherChangedAtMs, atMs)),
  drawn_for_jars: (world, { payload }) =>
    eachJar(
      world,
      payload.draws.map(({ jarId }) => jarId),
      drawAdvice,
    ),
  drawn_for_run: runDrawAdvice,
};

/** What is unwise about an entry that can be applied: kept with it and shown, never a reason to refuse. */
export function adviceOn(world: BenchWorld, entry: ActionEntry, facts: EntryFacts): readonly BenchWarning[] {
  const advise = ADVICE[entry.kind] as Advise<EntryKind> | undefined;
  const byKind = advise ? advise(world, entry as EntryOf<EntryKind>, facts) : [];
  return [...byKind, ...placeAdvice(world, placings(entry))];
}

/** Two tablets may put two jars on one place: both entries stand, the second one is told. */
function placeAdvice(world: BenchWorld, placed: readonly Placing[]): readonly BenchWarning[] {
  return placed.flatMap(({ jarId, place }) =>
    world
      .jarsAt(place)
      .filter(({ id }) => id !== jarId && !placed.some((other) => other.jarId === id))
      .map(({ code }) => warning('place-taken', { jar: code, ...place })),
  );
}

function warning(code: WarningCode, details: Readonly<Record<string, unknown>>): BenchWarning {
  return { code, details };
}

function when(condition: boolean, code: WarningCode, jar: Jar): readonly BenchWarning[] {
  return condition ? [warning(code, { jar: jar.code })] : [];
}

function eachJar(
  world: BenchWorld,
  ids: readonly string[],
  advise: (jar: Jar) => readonly BenchWarning[],
): readonly BenchWarning[] {
  return ids.flatMap((id) => {
    const jar = world.thing('jar', id);
    return jar ? advise(jar) : [];
  });
}

/** The entry tells of a moment before something already known: it is kept, and what is newer stays. */
function late(jar: Jar, knownAtMs: number | null, atMs: number): readonly BenchWarning[] {
  const newest = Math.max(knownAtMs ?? -Infinity, jar.goneAtMs ?? -Infinity);
  return when(atMs < newest, 'late-entry', jar);
}

function grainAdvice(world: BenchWorld, entry: GrainEntry): readonly BenchWarning[] {
  const batch = world.thing('grainBatch', entry.payload.grainBatchId);
  const step = GRAIN_STEP[entry.kind];
  if (!batch) return [];
  if (batch.stepAtMs[step] !== undefined && step !== 'filled') return [warning('grain-step-repeated', { step })];
  const laterSteps = GRAIN_STEPS.slice(GRAIN_STEPS.indexOf(step) + 1);
  const done = laterSteps.find((later) => (batch.stepAtMs[later] ?? Infinity) <= entry.atMs);
  return done ? [warning('grain-step-out-of-order', { step, after: done })] : [];
}

function fillAdvice(world: BenchWorld, { payload }: EntryOf<'grain_filled'>): readonly BenchWarning[] {
  return payload.fills.flatMap(({ sizeId, count }) => {
    const cleanEmpty = world.thing('pool', sizeId)?.cleanEmpty ?? null;
    return cleanEmpty !== null && count > cleanEmpty
      ? [warning('filled-more-than-clean', { sizeId, count, cleanEmpty })]
      : [];
  });
}

function loadAdvice(world: BenchWorld, { payload }: EntryOf<'cycle_started'>): readonly BenchWarning[] {
  return payload.loads.flatMap(({ grainBatchId, sizeId, count }) => {
    const batch = grainBatchId === undefined ? undefined : world.thing('grainBatch', grainBatchId);
    if (!batch) return [];
    const waiting = countOf(batch.filled, sizeId) - countOf(batch.loaded, sizeId);
    return count > waiting
      ? [warning('loaded-more-than-filled', { grainBatch: batch.code, sizeId, count, waiting })]
      : [];
  });
}

function codeAdvice(asked: string | undefined, facts: EntryFacts): readonly BenchWarning[] {
  return asked !== undefined && asked !== facts.code ? [warning('lot-code-changed', { asked, given: facts.code })] : [];
}

function generationAdvice(world: BenchWorld, strainId: string, generation: number): readonly BenchWarning[] {
  const lastGeneration = world.reference.strain(strainId)?.lastGeneration ?? Infinity;
  return generation > lastGeneration ? [warning('generation-beyond-last', { generation, lastGeneration })] : [];
}

function cycleAdvice(
  world: BenchWorld,
  { cycleId, sizeId }: { readonly cycleId?: string | undefined; readonly sizeId: string },
  count: number,
): readonly BenchWarning[] {
  const cycle = cycleId === undefined ? undefined : world.thing('cycle', cycleId);
  if (!cycle) return [];
  const waiting = countOf(cycle.loads, sizeId) - countOf(cycle.used, sizeId);
  return [
    ...(cycle.cooledAtMs === null ? [warning('cycle-not-cooled', { cycle: cycle.code })] : []),
    ...(count > waiting ? [warning('used-more-than-loaded', { cycle: cycle.code, sizeId, count, waiting })] : []),
  ];
}

function inoculationAdvice(
  world: BenchWorld,
  { payload }: EntryOf<'inoculated'>,
  facts: EntryFacts,
): readonly BenchWarning[] {
  const motherIds = payload.mothers.map(({ jarId }) => jarId);
  return [
    ...codeAdvice(payload.code, facts),
    ...generationAdvice(world, payload.strainId, facts.generation ?? 0),
    ...cycleAdvice(world, payload, payload.jars.length),
    ...eachJar(world, motherIds, drawAdvice),
  ];
}

function drawAdvice(jar: Jar): readonly BenchWarning[] {
  return [
    ...when(jar.ripeOn === null, 'drawn-before-ripe', jar),
    ...when(jar.contaminatedOn !== null, 'drawn-from-contaminated', jar),
  ];
}

function runDrawAdvice(world: BenchWorld, { payload }: EntryOf<'drawn_for_run'>): readonly BenchWarning[] {
  const run = world.reference.run(payload.runId);
  const jarIds = payload.draws.map(({ jarId }) => jarId);
  const aboutJars = eachJar(world, jarIds, (jar) => [
    ...drawAdvice(jar),
    ...when(jar.keptAsMother, 'drawn-from-mother', jar),
    ...when(run !== undefined && !run.strainIds.includes(jar.strainId ?? ''), 'run-wants-other-strain', jar),
  ]);
  return run && !run.open ? [warning('run-not-open', { runId: payload.runId }), ...aboutJars] : aboutJars;
}

function checkAdvice(world: BenchWorld, { payload, atMs }: EntryOf<'checked'>): readonly BenchWarning[] {
  return payload.jars.flatMap((seen) =>
    eachJar(world, [seen.jarId], (jar) => [
      ...late(jar, jar.colonisedAtMs, atMs),
      ...when((seen.colonisedShare ?? 1) < (jar.colonisedShare ?? 0), 'less-colonised-than-before', jar),
      ...(seen.netG !== undefined && seen.netG !== jar.leftG
        ? [warning('mass-restated', { jar: jar.code, leftG: jar.leftG, netG: seen.netG })]
        : []),
    ]),
  );
}

function chillAdvice(world: BenchWorld, { payload, atMs }: EntryOf<'chilled'>): readonly BenchWarning[] {
  return eachJar(world, payload.jarIds, (jar) => [
    ...late(jar, jar.coldChangedAtMs, atMs),
    ...when(jar.ripeOn === null, 'chilled-before-ripe', jar),
    ...when(jar.chilledOn !== null, 'already-chilled', jar),
    ...when(world.reference.strain(jar.strainId ?? '')?.mayBeChilled === false, 'strain-suffers-cold', jar),
  ]);
}
