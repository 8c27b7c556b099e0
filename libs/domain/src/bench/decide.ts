import { adviceOn } from './advice.js';
import { type AnyEffect, type Change, type DrawRecord, refOf, thingKey } from './effect.js';
import { effectsOf } from './effects-of.js';
import type { ActionEntry } from './entry.js';
import { type EntryFacts, settleFacts } from './facts.js';
import { jarCodeOf, serialOf } from './making-effects.js';
import { type BenchWarning, type Impossible, impossible } from './outcome.js';
import { placings } from './placings.js';
import type { BenchThings, ThingKind, ThingRef } from './thing.js';
import type { BenchWorld } from './world.js';

/** A thing as an entry leaves it. `state` is null when a correction took its making back. */
export type ThingAfter = {
  [K in ThingKind]: { readonly kind: K; readonly id: string; readonly state: BenchThings[K] | null };
}[ThingKind];

export type Decision =
  | {
      readonly outcome: 'applied';
      readonly facts: EntryFacts;
      readonly warnings: readonly BenchWarning[];
      readonly things: readonly ThingAfter[];
      readonly draws: readonly DrawRecord[];
    }
  | Refusal;

export interface Refusal {
  readonly outcome: 'refused';
  readonly reason: Impossible['code'];
  /** Every obstacle of that entry, the first one first. */
  readonly obstacles: readonly Impossible[];
}

/**
 * Decides one entry against the farm as it stands. Nothing is changed here: the answer carries the things as they are
 * afterwards. An entry over several jars is one act: it is applied whole or refused whole, naming every jar in the way.
 * Corrections are decided by `decideCorrection`.
 */
export function decideEntry(world: BenchWorld, entry: ActionEntry): Decision {
  const wrong = referenceObstacles(world, entry);
  if (wrong.length > 0) return refusal(wrong);
  const settled = settleFacts(world, entry);
  if ('impossible' in settled) return refusal([settled.impossible]);
  const taken = takenJarCodes(world, entry, settled.facts);
  if (taken.length > 0) return refusal(taken);
  const after = applyEffects(world, effectsOf(entry, settled.facts));
  if (after.obstacles.length > 0) return refusal(after.obstacles);
  const warnings = adviceOn(world, entry, settled.facts);
  return { outcome: 'applied', facts: settled.facts, warnings, things: after.things, draws: after.draws };
}

/** The things an entry will look at or change, without knowing whether they exist: what to load before deciding. */
export function thingsOf(entry: ActionEntry): readonly ThingRef[] {
  const byKey = new Map(effectsOf(entry, {}).map((effect) => [thingKey(effect), refOf(effect)]));
  return [...byKey.values()];
}

export function refusal(obstacles: readonly Impossible[]): Refusal {
  return { outcome: 'refused', reason: obstacles[0]?.code ?? 'malformed', obstacles };
}

interface AfterEffects {
  readonly things: readonly ThingAfter[];
  readonly draws: readonly DrawRecord[];
  readonly obstacles: readonly Impossible[];
}

function applyEffects(world: BenchWorld, effects: readonly AnyEffect[]): AfterEffects {
  const things = new Map<string, ThingAfter>();
  const draws: DrawRecord[] = [];
  const obstacles: Impossible[] = [];
  for (const effect of effects) {
    const key = thingKey(effect);
    const change = changeBy(effect, things.get(key)?.state ?? world.thing(effect.kind, effect.id));
    if ('impossible' in change) {
      obstacles.push(change.impossible);
      continue;
    }
    things.set(key, { ...refOf(effect), state: change.state } as ThingAfter);
    if (change.draw) draws.push(change.draw);
  }
  return { things: [...things.values()], draws, obstacles };
}

/** One effect on one thing. The kinds of effect and state agree by construction, which a union cannot express. */
export function changeBy(
  effect: AnyEffect,
  before: BenchThings[ThingKind] | undefined,
): Change<BenchThings[ThingKind]> {
  return (effect as { change(before: BenchThings[ThingKind] | undefined): Change<BenchThings[ThingKind]> }).change(
    before,
  );
}

function referenceObstacles(world: BenchWorld, entry: ActionEntry): readonly Impossible[] {
  return [
    ...repeatedJars(entry),
    ...unknownShelves(world, entry),
    ...sizesOf(entry)
      .filter((sizeId) => world.reference.size(sizeId) === undefined)
      .map((sizeId) => impossible('unknown-size', null, { sizeId }).impossible),
    ...('strainId' in entry.payload && world.reference.strain(entry.payload.strainId) === undefined
      ? [impossible('unknown-strain', null, { strainId: entry.payload.strainId }).impossible]
      : []),
    ...('runId' in entry.payload && world.reference.run(entry.payload.runId) === undefined // a run is planned elsewhere
      ? [impossible('unknown-run', null, { runId: entry.payload.runId }).impossible]
      : []),
  ];
}

function repeatedJars(entry: ActionEntry): readonly Impossible[] {
  const ids = jarIdsOf(entry);
  const repeated = ids.filter((id, index) => ids.indexOf(id) !== index);
  const found = repeated.map((id) => impossible('jar-twice-in-entry', { kind: 'jar', id }, { id }).impossible);
  if (!('jars' in entry.payload) || !('lotId' in entry.payload)) return found;
  const serials = entry.payload.jars.map(serialOf);
  const twice = serials.filter((serial, index) => serials.indexOf(serial) !== index);
  return [...found, ...twice.map((serial) => impossible('jar-twice-in-entry', null, { serial }).impossible)];
}

function jarIdsOf({ payload }: ActionEntry): readonly string[] {
  if ('mothers' in payload) return [...payload.mothers.map(({ jarId }) => jarId), ...payload.jars.map(({ id }) => id)];
  if ('draws' in payload) return payload.draws.map(({ jarId }) => jarId);
  if ('moves' in payload) return payload.moves.map(({ jarId }) => jarId);
  if ('jars' in payload) return payload.jars.map((jar) => ('jarId' in jar ? jar.jarId : jar.id));
  return 'jarIds' in payload ? (payload.jarIds ?? []) : [];
}

function unknownShelves(world: BenchWorld, entry: ActionEntry): readonly Impossible[] {
  const shelfIds = new Set(placings(entry).map(({ place }) => place.shelfId));
  return [...shelfIds]
    .filter((shelfId) => !world.reference.hasShelf(shelfId))
    .map((shelfId) => impossible('unknown-shelf', null, { shelfId }).impossible);
}

function sizesOf({ payload }: ActionEntry): readonly string[] {
  if ('fills' in payload) return payload.fills.map(({ sizeId }) => sizeId);
  if ('loads' in payload) return payload.loads.map(({ sizeId }) => sizeId);
  return 'sizeId' in payload ? [payload.sizeId] : [];
}

/** A label names one jar: the codes of new jars must be free. */
function takenJarCodes(world: BenchWorld, entry: ActionEntry, facts: EntryFacts): readonly Impossible[] {
  return newJarCodes(entry, facts)
    .filter((code, index, codes) => world.reference.codeTaken('jar', code) || codes.indexOf(code) !== index)
    .map((code) => impossible('code-already-used', null, { code }).impossible);
}

/** Codes of the jars an entry makes, given the code of its lot. */
export function newJarCodes({ payload }: ActionEntry, facts: EntryFacts): readonly string[] {
  if (!('lotId' in payload && 'jars' in payload)) return [];
  const lotCode = facts.code ?? payload.lotId;
  return payload.jars.map((jar, index) =>
    'code' in jar && jar.code !== undefined ? jar.code : jarCodeOf(lotCode, serialOf(jar, index)),
  );
}
