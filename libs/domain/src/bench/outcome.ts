import type { ThingKind, ThingRef } from './thing.js';

/**
 * Why an entry cannot have happened. Only the physically impossible is refused: what is merely unwise is a
 * {@link BenchWarning}.
 */
export type RefusalCode =
  | 'unknown-jar'
  | 'unknown-lot'
  | 'unknown-grain-batch'
  | 'unknown-cycle'
  | 'unknown-strain'
  | 'unknown-size'
  | 'unknown-shelf'
  | 'unknown-run'
  | 'unknown-staff'
  | 'unknown-entry'
  | 'id-already-used'
  | 'code-already-used'
  | 'jar-twice-in-entry'
  | 'jar-gone'
  | 'draw-below-zero'
  | 'nothing-left-to-draw'
  | 'blank-holds-no-spawn'
  | 'mother-of-other-strain'
  | 'mother-not-in-entry'
  | 'cycle-already-ended'
  | 'entry-was-refused'
  | 'already-corrected'
  | 'entry-not-refused'
  | 'already-settled'
  | 'not-yours-to-settle'
  | 'later-entry-in-the-way'
  | 'malformed'
  | 'not-storable';

export interface Impossible {
  readonly code: RefusalCode;
  readonly thing: ThingRef | null;
  readonly details: Readonly<Record<string, unknown>>;
}

/** Advice kept with an entry and shown to the person; it never stops the entry. */
export interface BenchWarning {
  readonly code: WarningCode;
  readonly details: Readonly<Record<string, unknown>>;
}

export type WarningCode =
  | 'strain-suffers-cold'
  | 'chilled-before-ripe'
  | 'already-chilled'
  | 'not-chilled'
  | 'generation-beyond-last'
  | 'drawn-before-ripe'
  | 'drawn-from-contaminated'
  | 'drawn-from-mother'
  | 'run-wants-other-strain'
  | 'run-not-open'
  | 'mother-not-ripe'
  | 'mother-contaminated'
  | 'grain-step-repeated'
  | 'grain-step-out-of-order'
  | 'loaded-more-than-filled'
  | 'filled-more-than-clean'
  | 'cycle-step-missing'
  | 'cycle-not-cooled'
  | 'used-more-than-loaded'
  | 'less-colonised-than-before'
  | 'mass-restated'
  | 'lot-code-changed'
  | 'place-taken'
  | 'late-entry'
  | 'device-clock-wrong';

export function impossible(
  code: RefusalCode,
  thing: ThingRef | null = null,
  details: Readonly<Record<string, unknown>> = {},
): { readonly impossible: Impossible } {
  return { impossible: { code, thing, details } };
}

const UNKNOWN: Readonly<Record<ThingKind, RefusalCode>> = {
  jar: 'unknown-jar',
  lot: 'unknown-lot',
  grainBatch: 'unknown-grain-batch',
  cycle: 'unknown-cycle',
  pool: 'unknown-size',
  harvest: 'unknown-entry',
};

export function unknownThing(thing: ThingRef): { readonly impossible: Impossible } {
  return impossible(UNKNOWN[thing.kind], thing, { id: thing.id });
}
