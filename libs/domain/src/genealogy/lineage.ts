import { requireThat } from '../errors.js';

/** A jar and the jars or cultures it was inoculated from (several when mothers were mixed). */
export interface LineageJar {
  readonly code: string;
  readonly mothers: readonly string[];
}

/** Who came from whom. Built once, walked in time proportional to what is found. */
export interface Lineage {
  readonly mothersOf: ReadonlyMap<string, readonly string[]>;
  readonly childrenOf: ReadonlyMap<string, readonly string[]>;
}

/**
 * The lineage graph of jars. A mother that is not in the list herself (bought spawn, a culture) is kept as the root of
 * her line.
 * @throws DomainError `jar-twice` for a code listed twice, `lineage-loop` when a jar would be its own ancestor
 */
export function lineageOf(jars: readonly LineageJar[]): Lineage {
  const mothersOf = new Map<string, readonly string[]>();
  const childrenOf = new Map<string, string[]>();
  for (const { code, mothers } of jars) {
    requireThat(!mothersOf.has(code), 'jar-twice', `Jar ${code} stands in the lineage twice.`, { code });
    mothersOf.set(code, [...new Set(mothers)]);
  }
  for (const [code, mothers] of mothersOf)
    for (const mother of mothers) {
      const children = childrenOf.get(mother);
      if (children) children.push(code);
      else childrenOf.set(mother, [code]);
    }
  for (const mother of childrenOf.keys()) if (!mothersOf.has(mother)) mothersOf.set(mother, []);
  requireNoLoop(mothersOf, childrenOf);
  return { mothersOf, childrenOf };
}

/** Takes away jars whose mothers are all taken away, from the roots on; what is left over goes in a circle. */
function requireNoLoop(
  mothersOf: ReadonlyMap<string, readonly string[]>,
  childrenOf: ReadonlyMap<string, readonly string[]>,
) {
  const waiting = new Map([...mothersOf].map(([code, mothers]) => [code, mothers.length]));
  const ready = [...waiting].filter(([, count]) => count === 0).map(([code]) => code);
  let done = 0;
  for (let code = ready.pop(); code !== undefined; code = ready.pop()) {
    done++;
    for (const child of childrenOf.get(code) ?? []) {
      const left = waiting.get(child)! - 1;
      waiting.set(child, left);
      if (left === 0) ready.push(child);
    }
  }
  const stuck = [...waiting].find(([, count]) => count > 0)?.[0];
  requireThat(done === waiting.size, 'lineage-loop', `Jar ${stuck} would be its own ancestor.`, { code: stuck });
}

/** A relative and how many inoculations away. */
export interface Relative {
  readonly code: string;
  readonly steps: number;
}

export interface Recall {
  /** The jars asked about, as given. */
  readonly asked: readonly string[];
  /** Jars they came from, nearest first. */
  readonly ancestors: readonly Relative[];
  /** Jars that came from them, nearest first. */
  readonly descendants: readonly Relative[];
  /** Other children of their mothers: the same mother may have spoiled them too. */
  readonly siblings: readonly string[];
}

/**
 * Every relative of the given jars: up to the roots, down to the last generation, and the sisters.
 * @throws DomainError `unknown-jar` for a code that is not in the lineage
 * @example recall(lineage, ['OY3-26W48-2/07']).descendants
 */
export function recall(lineage: Lineage, asked: readonly string[]): Recall {
  for (const code of asked)
    requireThat(lineage.mothersOf.has(code), 'unknown-jar', `There is no jar ${code} in the lineage.`, { code });
  const ancestors = relatives(lineage.mothersOf, asked);
  const descendants = relatives(lineage.childrenOf, asked);
  const known = new Set([...asked, ...descendants.map(({ code }) => code)]);
  const mothers = asked.flatMap((code) => lineage.mothersOf.get(code) ?? []);
  const sisters = new Set(mothers.flatMap((mother) => lineage.childrenOf.get(mother) ?? []));
  return { asked, ancestors, descendants, siblings: [...sisters].filter((code) => !known.has(code)).sort() };
}

/** Breadth first, so that each relative has its shortest distance. */
function relatives(next: ReadonlyMap<string, readonly string[]>, from: readonly string[]): readonly Relative[] {
  const seen = new Set(from);
  const found: Relative[] = [];
  let level: readonly string[] = [...seen];
  for (let steps = 1; level.length > 0; steps++) {
    const following: string[] = [];
    for (const code of level)
      for (const relative of next.get(code) ?? [])
        if (!seen.has(relative)) {
          seen.add(relative);
          following.push(relative);
        }
    following.sort();
    for (const code of following) found.push({ code, steps });
    level = following;
  }
  return found;
}
