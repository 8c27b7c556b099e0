import type { Change } from './effect.js';
import { impossible } from './outcome.js';
import type { Jar } from './thing.js';

/** Refuses what needs the jar itself once it is emptied, discarded or broken. */
export function ifStillHere(jar: Jar, change: () => Change<Jar>): Change<Jar> {
  return jar.goneAs === null ? change() : gone(jar);
}

/**
 * Lets an observation count that was made while the jar was still here but arrives after it was gone, as happens when
 * two tablets send at different times. Made at or after that moment it is refused: there was nothing to look at.
 */
export function ifHereAt(jar: Jar, atMs: number, change: () => Change<Jar>): Change<Jar> {
  return jar.goneAtMs === null || atMs < jar.goneAtMs ? change() : gone(jar);
}

function gone(jar: Jar): Change<Jar> {
  const details = { code: jar.code, goneAs: jar.goneAs, goneOn: jar.goneOn };
  return impossible('jar-gone', { kind: 'jar', id: jar.id }, details);
}

/** Whether something seen at a moment is older than what is already known, so that it must not replace it. */
export function isOlder(atMs: number, knownAtMs: number | null): boolean {
  return knownAtMs !== null && atMs < knownAtMs;
}
