import { AppError } from '../platform/index.js';

/**
 * Lets a change through only when it was decided on what is stored now.
 * @throws AppError `not-found` when there is no such thing, `revision-stale` when somebody changed it meanwhile
 */
export function requireRevision<Thing extends { readonly revision: number }>(
  thing: Thing | null,
  expected: number,
  what: string,
): Thing {
  if (thing === null)
    throw new AppError('not-found', `There is no such ${what} on this farm; it may have been removed.`);
  if (thing.revision !== expected) {
    throw new AppError(
      'revision-stale',
      `This ${what} is at revision ${thing.revision} by now, and the change was decided on revision ${expected}: read it again.`,
    );
  }
  return thing;
}

/**
 * Lets a thing sent twice under one id through as what it was the first time.
 * @returns the stored thing when it says the same, null when there is none yet
 * @throws AppError `conflict` when another thing stands under the id
 */
export function sameThingOrNull<Stored extends object>(
  stored: Stored | null,
  wanted: Partial<Stored>,
  what: string,
): Stored | null {
  if (stored === null) return null;
  const differing = (Object.keys(wanted) as (keyof Stored)[]).filter((key) => !sameValue(stored[key], wanted[key]));
  if (differing.length === 0) return stored;
  throw new AppError(
    'conflict',
    `Another ${what} already has this id (it differs in ${differing.join(', ')}): send a new id, or none.`,
  );
}

/** Columns keep fewer digits than JSON can say: numbers alike to a thousandth are the same. */
const NUMBER_TOLERANCE = 0.001;

function sameValue(stored: unknown, wanted: unknown): boolean {
  if (typeof stored === 'number' && typeof wanted === 'number') {
    return Math.abs(stored - wanted) <= NUMBER_TOLERANCE * Math.abs(stored);
  }
  return JSON.stringify(stored) === JSON.stringify(wanted);
}

/** A thing with some of its values replaced; what is left out stays. */
export function merged<Thing extends object>(
  thing: Thing,
  changes: { readonly [Key in keyof Thing]?: Thing[Key] | undefined },
): Thing {
  const said = Object.fromEntries(Object.entries(changes).filter(([, value]) => value !== undefined));
  return { ...thing, ...said };
}
