import { changeBy, newJarCodes, type Refusal, refusal, type ThingAfter, thingsOf } from './decide.js';
import { type DrawRecord, thingKey } from './effect.js';
import { effectsOf } from './effects-of.js';
import type { ActionEntry, BenchEntry, EntryOf } from './entry.js';
import type { EntryFacts } from './facts.js';
import { type Impossible, impossible } from './outcome.js';
import type { BenchThings, ThingKind, ThingRef } from './thing.js';
import type { BenchWorld, CodedThing } from './world.js';

/** An entry as it stands in the log, with what was settled when it was recorded. */
export interface LoggedEntry {
  readonly position: number;
  readonly entry: BenchEntry;
  readonly facts: EntryFacts;
}

export type CorrectionDecision =
  | {
      readonly outcome: 'applied';
      readonly things: readonly ThingAfter[];
      /** All draws of the jars among the things: they replace what was recorded for those jars. */
      readonly draws: readonly DrawRecord[];
    }
  | Refusal;

/**
 * Which applied entries no longer stand, and the correction that voids each. A correction voids the entry it names while
 * the correction itself stands, so correcting a correction brings the first entry back.
 */
export function voidedEntries(log: readonly LoggedEntry[]): ReadonlyMap<string, string> {
  const corrections = log.map(({ entry }) => entry).filter((entry) => entry.kind === 'corrected');
  const voided = new Map<string, string>();
  // Newest first: a correction can only be voided by a later one, so it is settled before its target is asked.
  for (const { id, payload } of corrections.reverse()) {
    if (!voided.has(id) && !voided.has(payload.entryId)) voided.set(payload.entryId, id);
  }
  return voided;
}

/** The action at the end of a chain of corrections: what a correction in the end takes back or brings back. */
export function actionBehind(byId: (id: string) => BenchEntry | undefined, entryId: string): ActionEntry | undefined {
  let entry = byId(entryId);
  while (entry?.kind === 'corrected') entry = byId(entry.payload.entryId);
  return entry;
}

/** The things a correction of this action must derive again. */
export function thingsToDerive(action: ActionEntry): readonly ThingRef[] {
  return thingsOf(action);
}

/**
 * Decides a correction. Each thing the action touched is derived again from its own remaining entries, in log order:
 * that is enough, because an effect looks at nothing but its own thing. If a later entry becomes impossible that way,
 * the correction is refused and names the entry in the way, which has to be corrected first.
 *
 * @param log the corrected entry, every applied entry that touches one of its things, and every applied correction of
 *   any of these, in log order.
 */
export function decideCorrection(
  world: BenchWorld,
  log: readonly LoggedEntry[],
  correction: EntryOf<'corrected'>,
): CorrectionDecision {
  const { entryId } = correction.payload;
  const byId = new Map(log.map(({ entry }) => [entry.id, entry]));
  const action = actionBehind((id) => byId.get(id), entryId);
  if (!action) return refusal([impossible('unknown-entry', null, { entryId }).impossible]);
  if (voidedEntries(log).has(entryId)) return refusal([impossible('already-corrected', null, { entryId }).impossible]);
  const voided = voidedEntries([...log, { position: Infinity, entry: correction, facts: {} }]);
  const standing = log.filter(({ entry }) => entry.kind !== 'corrected' && !voided.has(entry.id));
  const derived = deriveThings(thingsToDerive(action), standing);
  const taken = derived.outcome === 'applied' ? codesTakenSince(world, derived.things) : [];
  return taken.length > 0 ? refusal(taken) : derived;
}

/** Codes that entries gave to what they made, and that must be free should it come back. */
export function codesGivenBy({ entry, facts }: LoggedEntry): readonly string[] {
  if (entry.kind === 'corrected' || facts.code === undefined) return [];
  return [facts.code, ...newJarCodes(entry, facts)];
}

/** What comes back brings its codes back; another thing may carry them by now. */
export function codesTakenSince(world: BenchWorld, things: readonly ThingAfter[]): readonly Impossible[] {
  return things.flatMap(({ kind, id, state }) => {
    if (state === null || !('code' in state) || world.thing(kind, id) !== undefined) return [];
    const named = kind as CodedThing;
    return world.reference.codeTaken(named, state.code)
      ? [impossible('code-already-used', { kind, id }, { code: state.code }).impossible]
      : [];
  });
}

/** Derives things from their standing entries, in log order. */
export function deriveThings(refs: readonly ThingRef[], standing: readonly LoggedEntry[]): CorrectionDecision {
  const things = new Map<string, ThingAfter>(refs.map((ref) => [thingKey(ref), { ...ref, state: null } as ThingAfter]));
  const draws: DrawRecord[] = [];
  for (const { entry, facts } of standing) {
    if (entry.kind === 'corrected') continue;
    for (const effect of effectsOf(entry, facts)) {
      const before = things.get(thingKey(effect));
      if (!before) continue;
      const change = changeBy(effect, (before.state ?? undefined) as BenchThings[ThingKind] | undefined);
      if ('impossible' in change) return refusal([inTheWay(entry, change.impossible)]);
      things.set(thingKey(effect), { ...before, state: change.state } as ThingAfter);
      if (change.draw) draws.push(change.draw);
    }
  }
  return { outcome: 'applied', things: [...things.values()], draws };
}

function inTheWay(entry: BenchEntry, why: Impossible): Impossible {
  const details = { entryId: entry.id, kind: entry.kind, because: why.code, ...why.details };
  return { code: 'later-entry-in-the-way', thing: why.thing, details };
}
