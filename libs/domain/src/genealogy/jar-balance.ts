import { requireThat } from '../errors.js';

/** What became of a jar. */
export type JarFate =
  | 'incubating'
  | 'ripe'
  | 'chilled'
  | 'opened'
  | 'used'
  | 'contaminated'
  | 'discarded'
  | 'aged out'
  | 'handed over';

/** Fates in which a jar is still on the farm. */
export const presentFates: ReadonlySet<JarFate> = new Set(['incubating', 'ripe', 'chilled', 'opened']);

export interface AccountedJar {
  readonly code: string;
  readonly fate: JarFate;
  readonly madeG: number;
  readonly drawnG: number;
  readonly leftG: number;
  readonly discardedG: number;
}

export interface JarBalance {
  readonly jars: number;
  readonly present: number;
  readonly gone: number;
  readonly byFate: Readonly<Partial<Record<JarFate, number>>>;
  readonly madeG: number;
  readonly drawnG: number;
  readonly leftG: number;
  readonly discardedG: number;
  /** Made less everything accounted for: 0 when the books are right. */
  readonly unaccountedG: number;
  /** Jars whose own grams do not add up, with the difference. */
  readonly unbalanced: readonly { readonly code: string; readonly unaccountedG: number }[];
}

/** Rounding of a bench scale over many draws. */
const TOLERANCE_G = 0.5;

/**
 * Every jar accounted for: how many there are, where they went, and whether the grams made are the grams drawn, left and
 * discarded.
 * @throws DomainError `mass-out-of-range` for negative grams
 */
export function jarBalance(jars: readonly AccountedJar[]): JarBalance {
  const byFate: Partial<Record<JarFate, number>> = {};
  const unbalanced: { code: string; unaccountedG: number }[] = [];
  let [present, madeG, drawnG, leftG, discardedG] = [0, 0, 0, 0, 0];
  for (const jar of jars) {
    for (const grams of [jar.madeG, jar.drawnG, jar.leftG, jar.discardedG])
      requireThat(grams >= 0 && Number.isFinite(grams), 'mass-out-of-range', `Jar ${jar.code} has ${grams} g.`);
    byFate[jar.fate] = (byFate[jar.fate] ?? 0) + 1;
    if (presentFates.has(jar.fate)) present++;
    madeG += jar.madeG;
    drawnG += jar.drawnG;
    leftG += jar.leftG;
    discardedG += jar.discardedG;
    const unaccountedG = jar.madeG - jar.drawnG - jar.leftG - jar.discardedG;
    if (Math.abs(unaccountedG) > TOLERANCE_G) unbalanced.push({ code: jar.code, unaccountedG });
  }
  return {
    jars: jars.length,
    present,
    gone: jars.length - present,
    byFate,
    madeG,
    drawnG,
    leftG,
    discardedG,
    unaccountedG: madeG - drawnG - leftG - discardedG,
    unbalanced,
  };
}
